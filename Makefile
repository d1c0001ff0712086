# make run       install what is missing, load the demo into an empty shop, serve it
# make empty     the same with a shop of its own that holds nothing yet
# make test      the one check command; CI runs it too
# make bench     measures what the calculation promises, with its budgets beside it
# make demo-job  the demo job from findings to packet, without a browser

BIN := .venv/bin
PY := $(BIN)/python
READY := .venv/.installed

# The first Python that is new enough; PYTHON=... chooses another.
PYTHON ?= $(shell for p in python3.11 python3.12 python3.13 python3 python; do \
	"$$p" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null && echo "$$p" && break; done)

.PHONY: run empty test lint bench demo-job
.DEFAULT_GOAL := run

run: $(READY)
	@$(PY) -m config.needs pango
	@LOG_LEVEL=ERROR $(PY) manage.py prepare $(if $(EMPTY),--empty)
	@exec $(PY) manage.py up

empty: export DATA_DIR := $(or $(DATA_DIR),var/empty)
empty: EMPTY := 1
empty: run

# In a folder of its own, so that it cannot add a demo to a shop.
demo-job: export DATA_DIR := $(or $(DATA_DIR),var/demo-job)
demo-job: $(READY)
	@$(PY) -m config.needs pango
	@$(PY) manage.py migrate --verbosity 0
	@LOG_LEVEL=ERROR $(PY) manage.py demo_job

bench: $(READY)
	@$(PY) -m config.needs tests
	@$(PY) -m tests.bench

# What calculates without a database need not be seen on a second one.
PURE := $(addprefix --ignore=tests/,jobs/electrical jobs/controls jobs/weight test_layout.py test_doctests.py)
ON_POSTGRES = $(PY) tests/run_on_postgres.py -q -m "not browser" $(PURE)

# What fails while both cores are busy is looked at once more, alone; a real fault fails again.
test: lint
	$(PY) -m config.needs tests
	$(ON_POSTGRES) -n 2 || $(ON_POSTGRES) --lf
	$(BIN)/pytest -q -n 2 || $(BIN)/pytest -q --lf

lint: $(READY)
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/djlint templates --lint --quiet
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(PY) manage.py makemigrations --check --dry-run
	PUBLIC_URL=https://shop.example $(PY) manage.py check --deploy --fail-level WARNING

$(READY): requirements.txt
	@if [ -z "$(PYTHON)" ]; then \
		echo "Python 3.11 or newer is needed and none was found. Install one, or name it: make PYTHON=/path/to/python3"; \
		exit 1; fi
	@$(PYTHON) -m config.needs venv
	@[ -x $(PY) ] || $(PYTHON) -m venv .venv
	@echo "Installing Python packages (a few minutes the first time) ..."
	@$(PY) -m pip install --quiet --disable-pip-version-check --requirement requirements.txt
	@touch $(READY)
