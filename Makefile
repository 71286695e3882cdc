# Everything a person or a machine needs. `make demo` and `make test` work from a
# fresh clone on a machine with Go, Node and make.

GO      ?= go
LDFLAGS  = -s -w
FUZZTIME ?= 10s

.PHONY: demo test build bench lint release assets tools shots clean

demo: build ## make the demo house and open it in the browser
	bin/combline demo

build: assets ## leave the program in bin/combline
	$(GO) build -trimpath -ldflags '$(LDFLAGS)' -o bin/combline ./cmd/combline

test: assets tools lint ## everything that must pass, in 15 minutes on 2 cores
	$(GO) test -run '^TestReady$$' ./internal/milp # the solver's machine code, which takes long under -race
	$(GO) test ./internal/office # with plans that call the solver, too slow under -race
	$(GO) test -run Questions ./internal/cli # plans too
	$(GO) test -race -timeout 25m ./...
	scripts/fuzz $(FUZZTIME)

lint: ## form and vet
	@test -z "$$(gofmt -l $$(git ls-files '*.go'))" || { gofmt -l $$(git ls-files '*.go'); echo 'run gofmt -w on these'; exit 1; }
	$(GO) vet ./...
	$(GO) tool staticcheck ./...

bench: assets tools ## the bounds of docs/bench.md, measured
	scripts/bench

shots: build tools ## the pictures of docs/shots, from the demo house
	node scripts/shots.mjs

release: assets ## one file for each system, without cgo
	scripts/release

assets: node_modules/.done ## fonts and script, from npm
	node scripts/assets.mjs

node_modules/.done: package.json package-lock.json
	npm ci --no-audit --no-fund --ignore-scripts
	@touch $@

tools: ## what the tests drive, from Debian where we may install it
	@scripts/tools

clean:
	rm -rf bin dist node_modules
