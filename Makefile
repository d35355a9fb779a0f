# giornata, from a bare checkout:
#
#   make demo     sets everything up and makes the demo job's pack
#   make check    sets everything up and passes every gate and test, in a real browser too
#
#   make          sets up for running only        make test     the tests alone
#   make gates    the gates alone                 make lock     makes the locks afresh
#   make bundle   the pages' script               make bench    the measurements
#   make wheel    sdist and wheel in dist/        make clean    removes what was made
#   make fuzz     damaged artwork, FUZZ=5000 files of each sort and no two runs alike
#   make corpus   foreign drawings against independent renderers; CORPUS=folder adds yours
#
# PYTHON=python3.12 takes another Python for .venv; INSTALLER=pip does without uv.

SHELL := /bin/bash
.DELETE_ON_ERROR:

PYTHON ?= python3
PY := .venv/bin/python
INSTALLER ?= uv
UV := $(shell command -v uv 2>/dev/null || echo .venv/bin/uv)
INSTALL_uv = $(UV) pip install --quiet --python $(PY)
INSTALL_pip = $(PY) -m pip install --quiet --disable-pip-version-check
INSTALL = $(INSTALL_$(INSTALLER))
export PATH := $(CURDIR)/.venv/bin:$(PATH)

.PHONY: setup demo check gates test lock bundle bench wheel clean browser clipart corpus fuzz

setup: .venv/.run bundle

demo: setup
	giornata demo --to demo-job

check: gates browser clipart
	pytest

gates: .venv/.dev bundle
	ruff check
	ruff format --check
	lint-imports --no-logo
	mypy
	npm --prefix frontend run --silent check
	npm --prefix frontend test --silent

test: .venv/.dev bundle
	pytest -m "not browser"

browser:
	tools/need-chromium

clipart:
	tools/need-clipart

bundle: .venv/.run
	@python hatch_build.py

bench: .venv/.dev bundle
	@for one in bench/[a-z]*.py; do echo "== $$one"; python "$$one" || exit 1; done

FUZZ ?= 5000
fuzz: .venv/.dev
	GIORNATA_FUZZ=$(FUZZ) pytest tests/files/artwork/test_vector_fuzz.py

CORPUS ?=
corpus: .venv/.dev browser clipart
	python tools/corpus_report.py $(CORPUS) --clipart 300 --browser 60

wheel: .venv/.dev
	rm -rf dist
	$(UV) build --quiet
	ls -l dist

clean:
	rm -rf .venv demo-job dist frontend/node_modules src/giornata/web/static/dist
	find . -name __pycache__ -prune -exec rm -r {} +

# ---------------------------------------------------------------- the environment
.venv/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
	  || { echo "giornata needs Python 3.11 or later; say which with PYTHON=..."; exit 1; }
	$(PYTHON) -m venv .venv

.venv/.installer: .venv/bin/python requirements/uv.txt
	@[ $(INSTALLER) = pip ] || [ -x "$(UV)" ] \
	  || $(INSTALL_pip) --require-hashes -r requirements/uv.txt
	@touch $@

.venv/.run: .venv/.installer requirements/run.txt pyproject.toml
	$(INSTALL) --require-hashes -r requirements/run.txt
	tools/need-libraries $(PY)
	$(INSTALL) --no-deps --no-build-isolation -e .
	@touch $@

.venv/.dev: .venv/.run requirements/dev.txt
	$(INSTALL) --require-hashes -r requirements/dev.txt
	@touch $@

# ---------------------------------------------------------------- the locks
# One version for every Python from 3.11 on, each file with its hash, no addresses.
COMPILE = $(UV) pip compile --quiet --universal --python-version 3.11 --fork-strategy fewest \
  --generate-hashes --no-emit-index-url --no-header --no-annotate

lock: .venv/.installer
	echo uv | $(COMPILE) - -o requirements/uv.txt $(LOCK)
	$(COMPILE) pyproject.toml --group build -o requirements/run.txt $(LOCK)
	$(COMPILE) pyproject.toml --group dev -c requirements/run.txt -o requirements/dev.txt $(LOCK)
	npm --prefix frontend install --package-lock-only --ignore-scripts
