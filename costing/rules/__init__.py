"""Pure rules of money and time: values in, values out; no Django, no clock, no files."""
