# The two commands to begin with: `make demo` and `make test`. `make help` lists all.

PYTHON_IN_VENV := .venv/bin/python
PYTEST := $(PYTHON_IN_VENV) -m pytest -q
JOBS ?= 2
AT_ONCE := tests/workshop/jobs tests/costing/services/test_numbers_at_once.py tests/workshop/orders/test_at_once.py tests/workshop/planning/test_fittings.py
ROOMS := tests/workshop/people tests/workshop/jobs tests/workshop/orders tests/workshop/planning tests/costing
PAGES := tests/workshop/desk tests/workshop/bench tests/workshop/counter tests/workshop/api
export PORT ?= 8000

.DEFAULT_GOAL := help
.PHONY: help demo test test-long check bench lock pictures contact-sheet prepare prepare-test

help: ## list the commands
	@awk -F ':.*## ' '/^[a-z-]+:.*## / {printf "make %-14s %s\n", $$1, $$2}' $(MAKEFILE_LIST)

demo: prepare ## prepare, load the demo workshop and serve it on PORT (8000)
	@$(PYTHON_IN_VENV) manage.py migrate --verbosity 0
	@$(PYTHON_IN_VENV) manage.py demo
	@exec $(PYTHON_IN_VENV) manage.py serve

test: prepare-test ## every test: SQLite, PostgreSQL with Redis and Celery, then Chromium
	$(PYTEST) -n $(JOBS) -m "not browser and not long"
	$(PYTEST) -n $(JOBS) -m "not browser and not long" --database=postgres $(AT_ONCE)
	$(PYTEST) -n $(JOBS) --dist loadscope -m "browser and not long"

test-long: prepare-test ## what make test leaves out: long checks, and all rooms and pages on PostgreSQL
	$(PYTEST) -n $(JOBS) -m long
	$(PYTEST) -n $(JOBS) -m "not browser and not long" --database=postgres $(ROOMS) $(PAGES)

check: prepare-test ## format, lint, types, import contracts, migrations, templates, deployment
	.venv/bin/ruff format --check .
	.venv/bin/ruff check .
	.venv/bin/mypy
	.venv/bin/lint-imports
	WORKSHOP_JOBS=manual $(PYTHON_IN_VENV) manage.py makemigrations --check --dry-run
	.venv/bin/djlint templates --lint --quiet
	$(PYTHON_IN_VENV) -m tests.rig.deployment

pictures: prepare-test ## make the README's pictures anew from the demo workshop
	$(PYTHON_IN_VENV) -m tests.browser.pictures

contact-sheet: prepare-test ## draw every style on three bodies
	$(PYTHON_IN_VENV) -m tests.contact_sheet

bench: prepare-test ## each benchmark as one JSON line with a ratio
	@$(PYTHON_IN_VENV) -m tests.benchmarks.run

lock: prepare-test ## lock the newest allowed requirements, without registry addresses
	.venv/bin/uv pip compile --quiet --upgrade $(LOCK_FLAGS) requirements.in -o requirements.txt
	.venv/bin/uv pip compile --quiet --upgrade $(LOCK_FLAGS) -c requirements.txt requirements-dev.in -o requirements-dev.txt

LOCK_FLAGS := --no-emit-index-url --no-emit-find-links --no-annotate --no-header

prepare:
	@.ci/prepare run

prepare-test:
	@.ci/prepare test
