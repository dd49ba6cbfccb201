# Needs make and a Python of 3.11 or newer; everything else goes into .venv.
#   make plan      set up, and plan the example edition: plan.html, plan.json and plan.ics
#   make studio    set up, and serve a sample studio to a browser on this computer
#   make test      set up, and run the tests: five minutes on two cores
#   make test-all  the same, then every page at every size and all rounds of bad luck
#   make check     style, types, layers, house rules
#   make docs      the site of the documentation, into build/site
#   make checks    the laws beside the published figures
#   make bench     speed, as ratios to a yardstick
#   make mutate    change the laws in small ways, and count the changes that the tests notice
#   make dev       set up for working on the code
#   make lock      pin the newest dependencies again (needs uv)

EXAMPLE ?= examples/metric-bowl/edition.toml
PLAN_OPTIONS ?=
STUDIO ?= sample-studio
STUDIO_OPTIONS ?=
SHARE ?= 1
PROCESSES ?= 1
UV ?= uv

export PYTHON
VENV := .venv
RUN := $(VENV)/bin/python -m
# The folder is part of the stamps' names: an environment that was moved is made again.
HERE := $(shell pwd | cksum | cut -d ' ' -f 1)
RUN_READY := $(VENV)/.run-$(HERE)
DEV_READY := $(VENV)/.dev-$(HERE)
MUTATE_READY := $(VENV)/.mutate-$(HERE)
SETUP_NEEDS := requirements/set-up requirements/build.txt pyproject.toml
COMPILE := pip compile --quiet --universal --python-version 3.11 --fork-strategy fewest \
	--generate-hashes --no-annotate --no-header --upgrade

.PHONY: plan studio test test-rest test-all check docs checks bench mutate dev lock clean

plan: $(RUN_READY)
	@$(VENV)/bin/pourwright plan $(EXAMPLE) $(PLAN_OPTIONS)

studio: $(RUN_READY)
	@$(VENV)/bin/pourwright studio $(STUDIO) --sample $(STUDIO_OPTIONS)

# Tests of one file run in one process, so that they can share what they lay out.
test: $(DEV_READY)
	@$(RUN) pytest -n auto --dist loadfile $(PYTEST_OPTIONS)

# hypothesis: every test that searches tries more examples.
test-rest: $(DEV_READY)
	@POURWRIGHT_SOAK=1 $(RUN) pytest -n auto --dist loadfile -m "whole or rounds or hypothesis" $(PYTEST_OPTIONS)

test-all: test test-rest

check: $(DEV_READY)
	$(RUN) ruff check .
	$(RUN) ruff format --check .
	$(RUN) mypy
	$(VENV)/bin/lint-imports
	$(RUN) pytest -q tests/test_house.py

# A warning, such as a link that leads nowhere, fails it.
docs: $(DEV_READY)
	@rm -rf build/pages build/site
	@mkdir -p build/pages
	@$(RUN) sphinx -qW --keep-going -c docs -d build/pages/.doctrees build/pages build/site
	@echo "Ready: build/site/index.html"

checks: $(DEV_READY)
	@$(RUN) tests.checks_table

bench: $(DEV_READY)
	@$(RUN) benchmarks.run

mutate: $(MUTATE_READY)
	@$(RUN) tests.mutate --share $(SHARE) --processes $(PROCESSES)

dev: $(DEV_READY)
	@echo "Ready: $(VENV)/bin/pourwright, $(VENV)/bin/pytest, make check."

lock:
	$(UV) $(COMPILE) pyproject.toml --extra shape --extra paper --group dev -o requirements/dev.txt
	$(UV) $(COMPILE) pyproject.toml -c requirements/dev.txt -o requirements/run.txt
	$(UV) $(COMPILE) pyproject.toml --extra shape -c requirements/dev.txt -o requirements/shape.txt
	$(UV) $(COMPILE) pyproject.toml --extra paper -c requirements/dev.txt -o requirements/paper.txt
	$(UV) $(COMPILE) --group mutate -c requirements/dev.txt -o requirements/mutate.txt
	$(UV) $(COMPILE) --group build -c requirements/dev.txt -o requirements/build.txt

clean:
	rm -rf $(VENV) build dist mutants .pytest_cache .mypy_cache .ruff_cache .hypothesis plan.json plan.html plan.ics

$(RUN_READY): requirements/run.txt $(SETUP_NEEDS)
	@requirements/set-up run
	@touch $@

$(DEV_READY): requirements/dev.txt $(SETUP_NEEDS)
	@requirements/set-up dev
	@touch $(RUN_READY) $@

$(MUTATE_READY): requirements/mutate.txt $(DEV_READY)
	@requirements/set-up mutate
	@touch $@
