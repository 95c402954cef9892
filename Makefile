# Everything that is done with this project. `make` alone lists it.
SHELL := bash
.SHELLFLAGS := -euo pipefail -c

GO      ?= go
TOOL    := $(GO) tool -modfile=tools/go.mod
SOURCES := cmd internal examples
FUZZ    ?= 10s
BENCH   ?= .

.DEFAULT_GOAL := help
.PHONY: help demo run web build test test-web readers check fmt bench bench-web pictures shop contact letters faces timings fuzz kills book-figures

help: ## list what can be made
	@grep -E '^[a-z-]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | expand -t 10

demo: ## make the example badge into ./brushfall-demo
	$(GO) run ./cmd/brushfall demo

run: ## build the page and open the workbench; any other command: make run ARGS='make badge.svg --width 9.5in -o badge'
	@$(if $(ARGS),,$(MAKE) --no-print-directory web)
	$(GO) run ./cmd/brushfall $(or $(ARGS),open)

web: ## build the workbench's page into the program (wants Node.js; without it the page says so)
	@if [ ! -f web/package.json ]; then echo "there is no page to build yet"; \
	elif ! command -v npm >/dev/null; then echo "npm is not there, so the page is not built; https://nodejs.org has it"; \
	else cd web && { [ -d node_modules ] || npm ci --no-fund --no-audit; } && npm run build; fi

build: ## build the program as ./brushfall
	$(GO) build -o brushfall ./cmd/brushfall

readers: # the other programs that tests read our files with
	@bash tools/readers.sh

test: readers ## run every test
	$(GO) test ./...
	@$(MAKE) --no-print-directory test-web

test-web: readers ## run the tests of the page: its logic, and scenarios in a browser on the real program
	@bash tools/browser.sh
	@$(MAKE) --no-print-directory web
	cd web && npm run check && npm run test && npm run browser

check: ## format, vet, lint, import rules, tidy modules
	@files=$$($(TOOL) gofumpt -l $(SOURCES)); if [ -n "$$files" ]; then echo "gofumpt wants to change:"; echo "$$files"; exit 1; fi
	$(GO) vet ./...
	$(TOOL) staticcheck ./...
	$(GO) mod tidy -diff
	$(GO) test ./internal/architecture

fmt: ## format the sources
	$(TOOL) gofumpt -w $(SOURCES)

bench: ## measure layouts, plates, sheets and cutting beside their targets: make bench ARGS=--quick
	$(GO) run ./cmd/trial bench $(ARGS)
	$(GO) run ./cmd/trial letters --quick
	$(GO) run ./cmd/trial shop

bench-web: ## measure the page: a change to the screen, frames a second, weight, first paint
	@bash tools/browser.sh
	@$(MAKE) --no-print-directory web
	cd web && npm run figures

pictures: ## take pictures of every page, in both themes, wide and narrow, into out/pictures: make pictures ARGS="-t 'wide, dark'"
	@bash tools/browser.sh
	@$(MAKE) --no-print-directory web
	cd web && npm run pictures -- $(ARGS)

shop: ## measure plates, sheets and cutting beside the best known: make shop ARGS='--tours DIR'
	$(GO) run ./cmd/trial shop $(ARGS)

contact: ## draw the standard set on one sheet, out/contact.png: make contact ARGS='--shape lora'
	@mkdir -p out
	$(GO) run ./cmd/trial contact -o out/contact.png $(ARGS)

letters: ## measure every shipped face in stones, and time a list of 500 names: make letters ARGS='--face lora'
	$(GO) run ./cmd/trial letters $(ARGS)
	$(GO) run ./cmd/trial roster

faces: ## draw every shipped face in stones on one sheet, out/faces.png: make faces ARGS='--stone SS10'
	@mkdir -p out
	$(GO) run ./cmd/trial faces -o out/faces.png $(ARGS)

kills: ## kill programs that are busy with a shop's book, at a thousand random moments
	$(GO) test ./internal/store -run Killed -v -timeout 1h -kills 1000

book-figures: ## measure every list and search of a large book, beside what is asked
	$(GO) test ./internal/store -run Figures -v -timeout 30m -figures | grep -vE '^(=== RUN|--- PASS|PASS)'

timings: ## run the benchmarks of the code and print their table
	$(GO) test -run '^$$' -bench '$(BENCH)' -benchmem ./... | grep -E '^(pkg:|Benchmark|FAIL|---)'

fuzz: ## fuzz every reader for a short while: make fuzz FUZZ=1m
	@grep -rlE '^func Fuzz' --include='*_test.go' cmd internal | while read -r file; do \
		for target in $$(sed -nE 's/^func (Fuzz[A-Za-z0-9_]*).*/\1/p' "$$file"); do \
			echo "$$target in $$(dirname "$$file")"; \
			$(GO) test -run '^$$' -fuzz "^$$target$$" -fuzztime $(FUZZ) "./$$(dirname "$$file")" || exit 1; \
		done; \
	done
