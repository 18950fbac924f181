# Everything one does with this source. `make demo` needs Go and nothing else;
# `make check` checks what is checked each time and installs what it needs (Debian).

SHELL       := /bin/bash
.SHELLFLAGS := -euo pipefail -c
MAKEFLAGS   += --no-print-directory

GO   ?= go
LINT := $(GO) run github.com/golangci/golangci-lint/v2/cmd/golangci-lint@v2.15.0

# As what is given away is built, so that all that is checked here is compiled once: without
# cgo, and with no path of this machine in it.
export CGO_ENABLED := 0
export GOFLAGS     := $(strip $(filter-out -trimpath,$(GOFLAGS)) -trimpath)

# The race detector needs cgo and a C compiler; `make test RACE=` does without all three.
RACE ?= -race

# The command for what may need the race detector.
RACER = $(if $(RACE),CGO_ENABLED=1 )$(GO)

# Vets what is tested; empty where that was done.
VET ?= $(GO) vet

# All was vetted before it is tested; a busy machine takes longer than the 10 minutes that
# go test gives a package.
TESTING := -vet=off -timeout 30m

# Tests of the session that play many whole sessions. They are run without the race
# detector, which takes five times as long and has the rest of the package to look at, and
# beside what else needs no detector: most of them use one processor.
MANY := ^Test(PowerCuts|KilledMany|AThinnedSession|ATimelineThatWasHarmed|ARecordingInSegments|ASessionOfAWeek|ALongTimeline|AnotherBuildsJournal|VerifyFinds|ASessionThatRunsIsWhole|NothingIsThinned|ATraceOutOfMemory|ClosedPartsAreReadOnce|TheCorpusGoesOn|StepsInAnyOrder|AReplayNear|TheRecordNeeds|TheAccount)

# How long `make fuzz` stays with each target.
FUZZTIME ?= 20s

# How many seeds `make long` makes each sitting with.
SEEDS ?= 200

# How many days `make days` plays.
DAYS ?= 10000

# For how long `make long` has the built program hear ten faults, in real time.
SOAK ?= 1h

# What `make release` needs beside Go, as command:Debian-package.
RELEASE := git:git dpkg-deb:dpkg zip:zip

# What the checks need beside Go, as command:Debian-package or file:Debian-package.
COMPILER := gcc:gcc
HEADERS  := /usr/include/errno.h:libc6-dev /usr/lib/avr/include/avr/io.h:avr-libc /usr/include/simavr/sim_avr.h:libsimavr-dev /usr/include/libelf.h:libelf-dev
OUTSIDE  := $(RELEASE) man:man-db mount:mount findmnt:util-linux mkfs.ext4:e2fsprogs tshark:tshark capinfos:wireshark-common editcap:wireshark-common python3:python3 promtool:prometheus prometheus:prometheus systemd-analyze:systemd chromium:chromium firefox-esr:firefox-esr pdftotext:poppler-utils vcd2fst:gtkwave fst2vcd:gtkwave iverilog:iverilog vvp:iverilog avr-gcc:gcc-avr qemu-aarch64:qemu-user zstd:zstd strace:strace unshare:util-linux nsenter:util-linux /usr/lib/python3/dist-packages/scipy/__init__.py:python3-scipy /usr/lib/python3/dist-packages/statsmodels/__init__.py:python3-statsmodels

# What the sources of the live page are checked with.
NODE := node:nodejs npm:npm

# What the guest of `make kernel` is made of; its kernel is only unpacked.
KERNEL := qemu-system-x86_64:qemu-system-x86 udevadm:udev ldd:libc-bin

SYSTEMS := linux/amd64 linux/arm64 linux/arm windows/amd64 darwin/arm64

# Where vet sees what it does not see here: other files, or another size of int.
ALIEN := linux/arm windows/amd64 darwin/arm64

# $(call packages,TEXT): the packages whose tests have a line that begins so.
packages = $(shell grep -rlE --include='*_test.go' '$(1)' . | xargs -r -n1 dirname | sort -u)

# A line that starts a goroutine. The race detector is for the packages whose code has one;
# of the others, for the tests of files that have one: all else runs several times as fast
# without it.
START := ^[[:space:]]*go (func|[a-z])|\.Go[[:punct:]]
STARTERS = $(shell grep -rlE --include='*.go' --exclude='*_test.go' '$(START)' . | xargs -r -n1 dirname | sort -u)
TESTERS = $(filter-out $(STARTERS),$(shell grep -rlE --include='*_test.go' --exclude='*_outside_test.go' '$(START)' . | xargs -r -n1 dirname | sort -u))

# $(call tests,TEXT): the tests of the files that have such a line, as go test -run has them.
tests = $(shell grep -rlE --include='*_test.go' '$(1)' . | xargs -r grep -hoE '^func Test[[:alnum:]_]+' | cut -c6- | sort -u | paste -sd '|')

# $(call need,command:package ...): fails with a sentence for what is missing.
define need
	@for tool in $(1); do \
		command -v "$${tool%%:*}" >/dev/null || [ -e "$${tool%%:*}" ] || { \
			echo "$${tool%%:*} is missing: install it with 'make install' or 'apt-get install $${tool##*:}'" >&2; exit 1; }; \
	done
endef

# $(call get,command:package ...): installs what is missing.
define get
	@missing=; \
	for tool in $(1); do \
		command -v "$${tool%%:*}" >/dev/null || [ -e "$${tool%%:*}" ] || missing="$$missing $${tool##*:}"; \
	done; \
	[ -n "$$missing" ] || exit 0; \
	command -v apt-get >/dev/null || { echo "no apt-get here: install by other means:$$missing" >&2; exit 1; }; \
	as_root=; [ "$$(id -u)" = 0 ] || as_root=sudo; \
	[ -z "$$as_root" ] || command -v sudo >/dev/null || { echo "become root and run: apt-get install$$missing" >&2; exit 1; }; \
	$$as_root apt-get update -q; \
	$$as_root env DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $$(printf '%s\n' $$missing | sort -u)
endef

# Whatever -j says: what is missing is installed before it is used.
.NOTPARALLEL:

.PHONY: demo
demo: ## the whole tool on a simulated bench
	@$(GO) run ./cmd/benchproof demo

# The linters don't need what is installed, which is mostly waited for. They vet, so that nothing
# is vetted again behind them.
.PHONY: check
check: ## everything that is checked each time; `make long` takes hours more
	@$(MAKE) install & installing=$$!; linted=0; $(MAKE) lint || linted=$$?; wait $$installing && exit $$linted
	@$(MAKE) test outside VET=

# What `make quick` leaves out of a package that takes minutes, by naming what it runs.
QUICK := TestByHandTimelines|TestEveryMutantFits|TestEachWatcher|TestImports|TestInstants|TestProducts|TestTheCorpusGoesOn|TestGuide|TestCommandsOf|TestTheCorpusIsRead

.PHONY: quick
quick: ## while you work: formatting, vet and the quick tests, under 90 s once all is compiled
	@unformatted=$$(gofmt -l .); [ -z "$$unformatted" ] || { echo "run gofmt -w on:" $$unformatted >&2; exit 1; }
	$(GO) vet ./...
	@slow="$$($(GO) list ./monitor ./monitor/session ./monitor/sim/world ./cmd/benchproof)"; \
	$(GO) test $(TESTING) $$($(GO) list ./... | grep -vxF "$$slow") && $(GO) test $(TESTING) -run '^($(QUICK))' $$slow

.PHONY: test
test: ## formatting, vet, and all tests with the seeds of the fuzz targets
	$(if $(RACE),$(call need,$(COMPILER)))
	@unformatted=$$(gofmt -l .); [ -z "$$unformatted" ] || { echo "run gofmt -w on:" $$unformatted >&2; exit 1; }
	$(if $(VET),$(VET) ./...)
	@started=$$($(GO) list $(STARTERS)); \
	echo "$(GO) test, without the race detector where nothing starts a goroutine"; \
	$(if $(RACE),$(GO) test $(TESTING) -run '$(MANY)' ./monitor/session & many=$$!;) \
	passed=0; $(GO) test $(TESTING) $$($(GO) list ./... | grep -vxF "$$started") || passed=$$?; \
	$(if $(RACE),wait $$many || passed=$$?;) exit $$passed
	$(RACER) test $(TESTING) $(if $(RACE),$(RACE) -skip '$(MANY)') $(STARTERS)
	@for file in $$(grep -lE '$(START)' $(patsubst %,%/*_test.go,$(TESTERS)) | grep -v '_outside_test.go$$'); do grep -q '^func Test' $$file || { \
		echo "$$file starts a goroutine and has no test of its own, so no race is looked for: put it beside its tests" >&2; exit 1; }; done
	$(if $(RACE),$(RACER) test $(TESTING) $(RACE) -run '^($(call tests,$(START)))$$' $(TESTERS))

# What looks at the live page in browsers has the computer for itself: some of it measures, and all
# of it has to be as quick as a hand.
BROWSERS := ./dashboards/page/browser

.PHONY: outside
outside: ## tests that let tools of others read what we write, browsers among them
	$(call need,$(OUTSIDE))
	$(if $(VET),$(VET) -tags outside ./...)
	$(GO) test $(TESTING) -count=1 -tags outside -run '^($(call tests,^//go:build outside))$$' $(or $(filter-out $(BROWSERS),$(call packages,^//go:build outside)),$(error no package has outside tests))
	@$(MAKE) browsers

.PHONY: browsers
browsers: ## of make outside, the flows of the live page in chromium and Firefox
	$(call need,$(OUTSIDE))
	$(GO) test $(TESTING) -count=1 -v -tags outside $(BROWSERS)

.PHONY: kernel
kernel: install-kernel ## a small guest whose own USB-serial driver feeds us errors, an unplug, a replug
	$(GO) vet -tags kernel ./monitor/port/kernelrig
	$(GO) test -count=1 -v -tags kernel ./monitor/port/kernelrig

.PHONY: mutants
mutants: ## inverts rules in the code; a test must notice each
	$(GO) vet -tags mutants ./...
	$(GO) test -count=1 -timeout 60m -tags mutants -run Mutant $(or $(call packages,^//go:build mutants),$(error no package has mutants))

.PHONY: days
days: ## DAYS bad days of the whole daemon, each another, on all processors
	BENCHPROOF_DAYS=$(DAYS) BENCHPROOF_FROM=$(or $(FROM),$(shell date +%s)) $(GO) test $(TESTING) -timeout 12h -count=1 -v -run '^TestDays$$' ./monitor/sim/days

.PHONY: long
long: ## what takes hours: SEEDS seeds of every sitting, a soak in real time, a page that sleeps, the mutants
	BENCHPROOF_SEEDS=$(SEEDS) $(GO) test -count=1 -timeout 12h $(call packages,BENCHPROOF_SEEDS)
	$(if $(RACE),BENCHPROOF_SEEDS=$(SEEDS) $(RACER) test $(RACE) -count=1 -run '^TestASessionUnderAttack$$' ./cmd/benchproof)
	BENCHPROOF_SEEDS=$(SEEDS) $(GO) test -timeout 12h -run '^$$' -bench '^BenchmarkThreeDays$$' -benchtime 1x ./monitor/session
	BENCHPROOF_SOAK=$(SOAK) $(GO) test -count=1 -timeout 12h -v -tags outside -run '^TestTheAccountOfARealHourWithFaults$$' ./monitor
	BENCHPROOF_SOAK=$(SOAK) $(GO) test -count=1 -tags outside -run '^Test(AProgramThatStandsStillForLong|TheCorpusOnOtherProcessors|Release)$$' ./cmd/benchproof
	BENCHPROOF_SCREENS=200 BENCHPROOF_BUSY=60s BENCHPROOF_SLEEP=10m $(MAKE) browsers
	@$(MAKE) cross days mutants

# Its sources are checked by npm's TypeScript; nothing else here needs node.
.PHONY: page
page: ## the live page: checks its sources and builds it anew (needs node and npm)
	$(call need,$(NODE))
	cd dashboards/page && npm ci --ignore-scripts --omit-lockfile-registry-resolved --no-audit --no-fund && npx tsc -p .
	BENCHPROOF_REWRITE=1 $(GO) test -count=1 ./dashboards/page
	@git status --short -- dashboards/page/built

.PHONY: lint
lint: ## the linters of .golangci.yml
	$(LINT) run ./...

# What is built for other systems; the board of Grafana and the browsers are for those who change this.
PORTABLE := ./cmd/... ./decode/... ./monitor/...

# It compiles as `make release` does, which then only links.
.PHONY: cross
cross: ## builds for every system, and checks that the tests would build where they differ
	@for system in $(SYSTEMS); do \
		echo "GOOS=$${system%%/*} GOARCH=$${system##*/}"; \
		export GOOS=$${system%%/*} GOARCH=$${system##*/}; \
		$(GO) build -buildvcs=false $(PORTABLE) || exit 1; \
		case " $(ALIEN) " in *" $$system "*) $(GO) vet $(PORTABLE) || exit 1; esac; \
	done

.PHONY: release
release: ## archives for every system, Debian packages, what each is made of, checksums: into dist
	$(call need,$(RELEASE))
	cmd/benchproof/package/release dist $(SYSTEMS)

.PHONY: fuzz
fuzz: ## each fuzz target for FUZZTIME
	@listed=$$($(GO) test -list '^Fuzz' ./...) || { echo "$$listed" >&2; exit 1; }; \
	echo "$$listed" \
	| awk '/^Fuzz/ {name[++n] = $$1} /^ok/ {for (i = 1; i <= n; i++) print $$2, name[i]; n = 0}' \
	| while read -r package name; do \
		echo "$$package $$name"; \
		$(GO) test -run '^$$' -fuzz "^$$name\$$" -fuzztime $(FUZZTIME) "$$package" </dev/null || exit 1; \
	done

.PHONY: bench
bench: ## all benchmarks, each beside its yardstick
	$(GO) test -p 1 -run '^$$' -bench . -benchmem $(call packages,^func Benchmark) \
	| awk '{print; fflush()} \
		/^Benchmark/ {name = $$1; sub(/-[0-9]+$$/, "", name); group = name; sub(/\/[^\/]*$$/, "", group)} \
		/^Benchmark.*\/ours/ {ours[group] = $$3} \
		/^Benchmark.*\/yardstick/ && ours[group] {printf "  takes %.1f times as long as ours\n", $$3 / ours[group]}'

.PHONY: bench-waveform
bench-waveform: ## dump to frames beside vcd2fst (Debian's gtkwave), on a file of 250 MB; Linux
	$(call need,vcd2fst:gtkwave)
	$(GO) test -count=1 -v -timeout 10m -tags yardstick -run Yardstick ./cmd/benchproof

.PHONY: golden
golden: ## writes expected results anew; look at the difference before you keep it
	BENCHPROOF_REWRITE=1 $(GO) test -count=1 $(call packages,BENCHPROOF_REWRITE)
	@git status --short -- '*testdata*'

.PHONY: install
install: ## installs what `make check` needs beside Go (Debian, as root or with sudo)
	$(call get,$(COMPILER) $(HEADERS) $(OUTSIDE))

.PHONY: install-kernel
install-kernel: ## installs what `make kernel` needs, and unpacks a kernel into bin (Debian)
	$(call get,$(KERNEL))
	@[ -e bin/kernel/boot ] || { \
		mkdir -p bin/kernel; cd bin/kernel; \
		image=$$(apt-cache depends linux-image-amd64 | awk '/Depends: linux-image/ {print $$2; exit}'); \
		[ -n "$$image" ] || { echo "apt knows no kernel image: run apt-get update" >&2; exit 1; }; \
		apt-get download -q "$$image"; dpkg -x "$$image"_*.deb .; rm "$$image"_*.deb; \
	}

.PHONY: clean
clean: ## removes what was built; sessions stay
	rm -rf bin dist

.PHONY: help
help: ## this list
	@awk -F':.*## ' '/^[a-z]+:.*## / {printf "%-15s %s\n", $$1, $$2}' $(MAKEFILE_LIST)
