"""Names and addresses as papers carry them: copied, so that a paper never changes with the book."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass


@dataclass(frozen=True, slots=True)
class Party:
    """Seller or buyer of a paper."""

    name: str
    address: str = ""
    email: str = ""
    phone: str = ""
    tax_number: str = ""
    pay_to: str = ""  # how the seller is paid: a bank account, a phone number; printed on invoices
    vat_number: str = ""  # with the letters of its country; e-invoices know the seller by it
    country: str = ""  # ISO 3166-1
    exemption: str = ""  # why the seller charges no tax, where it charges none

    def to_json(self) -> dict[str, str]:
        return asdict(self)

    @classmethod
    def from_json(cls, data: Mapping[str, str]) -> Party:
        return cls(**data)
