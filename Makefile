# make           sets up .venv (and, as root, the native libraries) and lists what there is
# The demo's report is written to site/; open site/index.html.
BIN := .venv/bin
.DEFAULT_GOAL := help
.PHONY: help setup setup-tests demo test lint format bench soak clean

help: setup
	@sed -n 's/^\([a-z]*\):[^#]*## \(.*\)/make \1	\2/p' Makefile

setup:
	@bash .ci/setup

setup-tests:
	@bash .ci/setup tests

demo: setup ## write the report on quotes_demo to site/
	$(BIN)/quotegen report --folder quotes_demo --to site

test: setup-tests ## run the tests
	$(BIN)/python -m pytest -n auto --dist loadgroup

lint: setup-tests ## check style and types
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy

format: setup-tests ## lay the code out as lint wants it
	$(BIN)/ruff check --fix
	$(BIN)/ruff format

bench: setup-tests ## measure speed, as ratios in one run
	$(BIN)/python tests/bench/run.py

soak: setup-tests ## run the random tests at length
	$(BIN)/python -m pytest -n auto --dist loadgroup --hypothesis-profile soak -m "hypothesis or soak"

clean: ## remove what was built; .venv stays
	git clean -fdXq site
	rm -rf build dist .pytest_cache .mypy_cache .ruff_cache .hypothesis
	find quotegen tests -name __pycache__ -type d -prune -exec rm -rf {} +
