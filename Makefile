# leanrich: build, checks and set-up. Read from top to bottom; `make help` lists the targets.
#
# Debian 12 with git and make is all that has to be there before `make review` or `make test`: both install what else
# they need (checker/setup.sh; SETUP=no refuses).

VERSION := 0.1.0
VARIANT ?= plain
PREFIX ?= /usr/local

.DEFAULT_GOAL := all
.DELETE_ON_ERROR:
.SUFFIXES:
ifeq (0,$(MAKELEVEL))
MAKEFLAGS += -j$(shell nproc)
endif

## Sources: every C file of checker/ and its folders is part of the program; every C file of tests/ is part of the tests.

SOURCES := $(wildcard checker/*.c checker/*/*.c)
TEST_SOURCES := $(wildcard tests/*.c)
FUZZ_SOURCES := $(wildcard tests/fuzz/*_fuzz.c)
HEADERS := $(wildcard checker/*.h checker/*/*.h tests/*.h)

# Carried inside the program, so that one file works anywhere (checker/base/embedded.h).
EMBEDDED := $(wildcard checker/read/unit.xsd checker/read/template.xml checker/judge/rules.xsd checker/import/map.xsd \
	checker/write/review.css checker/write/sheet.css checker/write/figure.css checker/write/review.js checker/write/layout.py \
	checker/help/*.txt tests/data/pilot_table.txt rules/*.xml rules/*/*.xml)

## Variants: one folder of objects each. `make VARIANT=asan` builds one by hand.

OUT := build/$(VARIANT)
PROGRAM := $(if $(filter plain,$(VARIANT)),build/leanrich,$(OUT)/leanrich)

FLAGS_plain := -O3 -fno-math-errno -g -D_FORTIFY_SOURCE=2 -fstack-protector-strong
FLAGS_asan := -O1 -g1 -fno-omit-frame-pointer -fsanitize=address,undefined,float-cast-overflow -fno-sanitize-recover=all
FLAGS_coverage := -O0 -g --coverage
LINK_FLAGS_coverage := -Wl,--wrap=_Exit
FLAGS_analyzer := -O1 -fanalyzer
FLAGS_clang := -O0
FLAGS_fuzz := -O1 -g1 -fno-omit-frame-pointer -fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all
ifneq (,$(filter clang fuzz,$(VARIANT)))
CC := clang
else
CC := gcc
endif

WARNINGS := -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wdouble-promotion -Wstrict-prototypes \
	-Wmissing-prototypes -Wvla -Wwrite-strings -Wcast-qual -Wformat=2 -Wundef -Wnull-dereference
ifneq (,$(filter true,$(CI))$(filter 1,$(WERROR)))
WARNINGS += -Werror
endif

# Asked once and only when something is compiled: pkg-config may be installed by the same `make test`.
ask = $(eval $(1) := $$(shell pkg-config $(2)))$($(1))
LIBRARIES := libxml-2.0 gsl jansson xlsxwriter libzip
LIBRARY_CFLAGS = $(call ask,LIBRARY_CFLAGS,--cflags $(LIBRARIES))
LIBRARY_LIBS = $(call ask,LIBRARY_LIBS,--libs $(LIBRARIES))
TEST_LIBS = $(call ask,TEST_LIBS,--libs criterion)

# -ffp-contract=off: the same bytes from the same input, whatever the machine fuses.
LANGUAGE := -std=c17 -D_POSIX_C_SOURCE=200809L -Ichecker -fno-common -ffp-contract=off
COMPILE = $(CC) $(LANGUAGE) $(WARNINGS) $(FLAGS_$(VARIANT)) $(LIBRARY_CFLAGS) $(CFLAGS)
LINK = $(CC) $(FLAGS_$(VARIANT)) $(LINK_FLAGS_$(VARIANT)) $(LDFLAGS)

READING_OBJECTS := $(SOURCES:%.c=$(OUT)/%.o) $(OUT)/embedded_files.o
OBJECTS := $(READING_OBJECTS) $(OUT)/built_catalogue.o
TESTED_OBJECTS := $(filter-out $(OUT)/checker/main.o,$(OBJECTS))
TEST_OBJECTS := $(TEST_SOURCES:%.c=$(OUT)/%.o)
COUNTS := $(if $(filter coverage,$(VARIANT)),$(OUT)/tests/faults/counts.o)
REGRESS_OBJECTS := $(patsubst %,$(OUT)/tests/%.o,regression regression_rows regression_report regression_set regression_spread regression_nested regression_spread_fit regression_spread_report regression/regress)
MUTATE_OBJECTS := $(OUT)/tests/mutation.o $(OUT)/tests/mutation/mutate_designs.o
CIRCUITS_OBJECTS := $(patsubst %,$(OUT)/tests/circuits/%.o,circuits simulate package)
BENCH_SOURCES := $(wildcard tests/bench/*_bench.c)
BENCH_OBJECTS := $(BENCH_SOURCES:%.c=$(OUT)/%.o)
BENCH_PROGRAMS := $(BENCH_SOURCES:tests/bench/%.c=$(OUT)/%)
FUZZ_PROGRAMS := $(FUZZ_SOURCES:tests/fuzz/%.c=$(OUT)/%)

## Building

#: make                 builds build/leanrich
.PHONY: all followed objects tests fuzzers FORCE
all: $(PROGRAM)
followed: $(READING_OBJECTS) $(OUT)/checker/judge/print/main.o $(REGRESS_OBJECTS) $(MUTATE_OBJECTS) $(BENCH_OBJECTS) $(CIRCUITS_OBJECTS)
objects: followed $(TEST_OBJECTS)
tests: $(OUT)/suite
fuzzers: $(FUZZ_PROGRAMS)

$(PROGRAM): $(OBJECTS) $(COUNTS)
	$(call say,link $@)
	$(Q)$(LINK) -o $@ $^ $(LIBRARY_LIBS)

$(OUT)/suite: $(TESTED_OBJECTS) $(TEST_OBJECTS) $(COUNTS)
	$(call say,link $@)
	$(Q)$(LINK) -o $@ $^ $(TEST_LIBS) $(LIBRARY_LIBS)

# Fails allocations of a program it is loaded into; tests/run_faults.
build/starve.so: tests/faults/starve.c Makefile
	$(call say,gcc $<)
	@mkdir -p $(@D)
	$(Q)gcc -std=c17 $(WARNINGS) -O2 -fPIC -shared -o $@ $<

$(FUZZ_PROGRAMS): $(OUT)/%: $(TESTED_OBJECTS) $(OUT)/tests/fuzz/%.o
	$(call say,link $@)
	$(Q)$(LINK) -fsanitize=fuzzer -o $@ $^ $(LIBRARY_LIBS)

$(OUT)/%.o: %.c Makefile
	$(call say,$(CC) $<)
	@mkdir -p $(@D)
	$(Q)$(COMPILE) -MMD -MP -c -o $@ $<

$(OUT)/embedded_files.o: build/embedded_files.c Makefile
	$(call say,$(CC) $<)
	@mkdir -p $(@D)
	$(Q)$(COMPILE) -MMD -MP -c -o $@ $<

build/embedded_files.c: checker/base/embed.sh build/embedded.list $(EMBEDDED)
	$(call say,embed $(words $(EMBEDDED)) files)
	$(Q)sh checker/base/embed.sh $(EMBEDDED) >$@

# The catalogue as data (checker/judge/built.h), by the program's own reader, which is built first. Written again only when it differs.
$(OUT)/built_catalogue.o: $(OUT)/built_catalogue.c Makefile
	$(call say,$(CC) $<)
	$(Q)$(COMPILE) -MMD -MP -c -o $@ $<

# The empty recipe makes make look at the file again after the stamp was made.
$(OUT)/built_catalogue.c: $(OUT)/built_catalogue.stamp ;

$(OUT)/built_catalogue.stamp: $(OUT)/print_catalogue
	$(call say,print $(@:.stamp=.c))
	$(Q)$< >$(@:.stamp=.new)
	$(Q)if cmp -s $(@:.stamp=.new) $(@:.stamp=.c); then rm $(@:.stamp=.new); else mv $(@:.stamp=.new) $(@:.stamp=.c); fi
	$(Q)touch $@

$(OUT)/print_catalogue: $(filter-out $(OUT)/checker/main.o,$(READING_OBJECTS)) $(OUT)/checker/judge/print/main.o $(COUNTS)
	$(call say,link $@)
	$(Q)$(LINK) -o $@ $^ $(LIBRARY_LIBS)

# Rewritten only when a file came or went, so that a deleted rule leaves the program too.
build/embedded.list: FORCE
	@mkdir -p $(@D)
	@echo '$(EMBEDDED)' | cmp -s - $@ || echo '$(EMBEDDED)' >$@

-include $(OBJECTS:.o=.d) $(OUT)/checker/judge/print/main.d $(TEST_OBJECTS:.o=.d) $(REGRESS_OBJECTS:.o=.d) $(MUTATE_OBJECTS:.o=.d) $(BENCH_OBJECTS:.o=.d) $(CIRCUITS_OBJECTS:.o=.d) $(patsubst %,$(OUT)/tests/fuzz/%.d,$(notdir $(FUZZ_PROGRAMS)))

# V=1 shows the commands in full.
Q := $(if $(V),,@)
say = $(if $(V),@:,@echo "  $(1)")

# The fitted terms of the chemistry and the table of their errors, made again from tests/data/vle.csv.
.PHONY: regress
regress: $(OUT)/regress
	$(OUT)/regress terms >build/terms.def
	mv build/terms.def checker/chemistry/terms.def
	@$(MAKE) --no-print-directory $(OUT)/regress
	$(OUT)/regress measured >build/measured.def
	mv build/measured.def checker/chemistry/measured.def
	@$(MAKE) --no-print-directory $(OUT)/regress
	$(OUT)/regress report >build/regression.txt
	mv build/regression.txt tests/data/regression.txt
	$(OUT)/regress papers >build/regression_papers.txt
	mv build/regression_papers.txt tests/data/regression_papers.txt

# The test of random states, with as many as STATES says; the suite itself tries fewer.
STATES ?= 300000
.PHONY: states
states: setup-test
	@$(MAKE) --silent --no-print-directory tests
	STATES=$(STATES) $(OUT)/suite --filter 'solution/random_states*'

# Random changes of designs judged with what was solved before and without, as many as CHANGES says; the suite tries fewer.
CHANGES ?= 2000
.PHONY: changes
changes: setup-test
	@$(MAKE) --silent --no-print-directory tests
	CHANGES=$(CHANGES) $(OUT)/suite --filter 'incremental/random_changes*'

# Plans of random small units against every set of changes, of as many units as PLANS says; the suite tries fewer.
PLANS ?= 50
.PHONY: plans
plans: setup-test
	@$(MAKE) --silent --no-print-directory tests all
	PLANS=$(PLANS) LEANRICH=build/leanrich $(OUT)/suite --filter 'remedy*/the_plan*'

$(OUT)/regress: $(TESTED_OBJECTS) $(REGRESS_OBJECTS)
	$(call say,link $@)
	$(Q)$(LINK) -o $@ $^ $(LIBRARY_LIBS)

# Solved cases of random units: each taken, each number one that can be, each that is not solved with its reason.
SOLVED_CASES ?= 250
.PHONY: solved-cases
solved-cases: setup-test
	@$(MAKE) --silent --no-print-directory all
	/usr/bin/python3 tests/random_cases.py build/leanrich $(SOLVED_CASES)

# How often reconciliation finds the one statement that was spoilt, in circuits that a second implementation simulates.
LEFT_OUT ?= 1000
.PHONY: left-out
left-out: setup-test
	@$(MAKE) --silent --no-print-directory tests all
	LEANRICH_LEFT_OUT=$(LEFT_OUT) LEANRICH=build/leanrich $(OUT)/suite --filter 'left_out/*'

# Completions of half-empty units held against every point of a grid, in as many units as PERMITS says.
PERMITS ?= 20
.PHONY: permits
permits: setup-test
	@$(MAKE) --silent --no-print-directory tests all
	LEANRICH_PERMITS=$(PERMITS) LEANRICH=build/leanrich $(OUT)/suite --filter 'permits/random_units*'

CIRCUITS ?= 200
.PHONY: circuits
circuits: setup-test
	@$(MAKE) --silent --no-print-directory $(OUT)/circuits
	$(OUT)/circuits $(CIRCUITS)

$(OUT)/circuits: $(TESTED_OBJECTS) $(CIRCUITS_OBJECTS)
	$(call say,link $@)
	$(Q)$(LINK) -o $@ $^ $(LIBRARY_LIBS)

$(OUT)/mutate_designs: $(TESTED_OBJECTS) $(MUTATE_OBJECTS)
	$(call say,link $@)
	$(Q)$(LINK) -o $@ $^ $(LIBRARY_LIBS)

$(BENCH_PROGRAMS): $(OUT)/%: $(TESTED_OBJECTS) $(OUT)/tests/bench/%.o
	$(call say,link $@)
	$(Q)$(LINK) -o $@ $^ $(LIBRARY_LIBS)

#: make tables          lists and tables of tests/data that the suite holds to the program, written again
.PHONY: tables accept quick
tables: setup-test
	@$(MAKE) --silent --no-print-directory tests all
	LEANRICH_TABLES=write LEANRICH=build/leanrich $(OUT)/suite --filter '*/printed_*'

# All that is kept as printed, made again: to be read with `git diff` before it is committed.
accept: tables
	/usr/bin/python3 tests/external/documentation_check.py --write
	@build/leanrich review --quiet $(DEMO); [ $$? -le 1 ]
	git --no-pager diff --stat

## Running

#: make review          set-up, build, review of the demo unit into reports/
#: make test            set-up, the suite with and without sanitizers; ends with the summary of the suite
#: make quick           the suite without sanitizers, rebuilt when sources or rules change
#: make accept          what is kept as printed (tables, examples, reports of the demo) made again; read it with git diff
.PHONY: setup-build setup-test setup-check setup-document review test
setup-build setup-test setup-check setup-document setup-cluster: setup-%:
	@sh checker/setup.sh $*

# The demo unit has faults on purpose: exit 1 (findings to resolve) is as good an end as exit 0.
DEMO := designs/tern-quay.xml
review: setup-build
	@$(MAKE) --silent --no-print-directory all
	@build/leanrich review $(DEMO); status=$$?; [ $$status -le 1 ] || exit $$status

quick: setup-test
	@$(MAKE) --silent --no-print-directory tests all
	@LEANRICH=build/leanrich build/plain/suite --jobs 2

test: setup-test
	@$(MAKE) --silent --no-print-directory VARIANT=asan tests all
	@$(MAKE) --silent --no-print-directory tests all build/starve.so
	@tests/run_tests

#: make faults          full disks, signals, no memory, two runs at once, inputs of any size (part of make test)
.PHONY: faults
faults: setup-test
	@$(MAKE) --silent --no-print-directory all build/starve.so
	@tests/run_faults build

## Quality

#: make lint            format, gcc -fanalyzer, clang's warnings and clang-tidy, cppcheck
#: make check-external  tables and formulas against independent open implementations
#: make check-document  the review in Chromium, as PDF and as a workbook; the package in a clean root
#: make fuzz            every fuzz program for FUZZ_SECONDS (20), two at a time
#: make mutate-designs  every MUTATE_STEP-th (1) value of the designs spoilt in every way (an hour; with 16, five minutes)
#: make check-strace    what a review opens, as the kernel sees it
#: make check-cluster   a portfolio as a Slurm array and over ssh, with daemons of its own (root; minutes)
#: make regress         the fitted terms of the chemistry made again from the published points
#: make states          300,000 random states of the chemistry: no NaN, no kink, no jump, pressures rise with loading
#: make changes         2,000 random changes of designs, judged with what was solved before and with nothing: the same
#: make plans           the plan of PLANS (50) random small units, held against trying every set of changes
#: make solved-cases    `leanrich cases` on SOLVED_CASES (250) random units, half empty and inconsistent
#: make circuits        what reconciliation finds of statements spoilt one at a time in CIRCUITS (200) simulated packages
#: make left-out        LEFT_OUT (1000) values left out of sound designs one at a time: what is asked then
#: make bench           cost of a state of chemistry, of a regenerator column, of the sulfide analysis, of a review as a multiple of validation
#: make coverage        lines and branches that suite, program and faults reach (five minutes); build/coverage/index.html
#: make mutate-code     what the suite notices of wrong operators in the judge and wrong factors of units
#: make valgrind        the demo review under valgrind
#: make fresh           make review and make test in a bare Debian 12 (root; fetches some hundred megabytes)
.PHONY: lint lint-format lint-gcc lint-tidy lint-cppcheck check-external check-document check-strace check-cluster \
	fuzz mutate-designs \
	mutate-code bench coverage valgrind fresh
LINTED := $(SOURCES) checker/judge/print/main.c $(TEST_SOURCES) $(wildcard tests/*/*.c)

# Keeps going, so that one run shows what every part has to say.
lint: setup-check
	@$(MAKE) --silent --no-print-directory --keep-going lint-format lint-gcc lint-tidy lint-cppcheck

#: make modules         every module of the program with the first sentence of its header
.PHONY: modules
modules:
	@for header in $(sort $(wildcard checker/*/*.h)); do sed '/\*\//q' $$header | sed 's|^/\*||;s|^ \*||;s|\*/.*||' | tr -s '\n' ' ' | sed -E 's/[.] [A-Z].*/./;s/^ +//' | { read -r words; printf '%-34s %s\n' "$${header#checker/}" "$$words"; }; done

#: make format          rewrites the sources as .clang-format says
.PHONY: format
format:
	clang-format -i $(LINTED) $(HEADERS)

lint-format:
	clang-format --dry-run -Werror $(LINTED) $(HEADERS)

# Every path through a function is followed where no test goes all of them: the suite, whose own code runs whole under
# sanitizers, has every other check, and the half of the cost of both analyzers that it was is saved.
FOLLOWED := $(filter-out $(TEST_SOURCES),$(LINTED))

lint-gcc:
	@$(MAKE) --silent --no-print-directory VARIANT=analyzer WERROR=1 followed

# clang's own warnings are told too (clang-diagnostic), so that nothing is compiled for them. The quick files come last, so that
# no core idles at the end.
lint-tidy:
	{ printf '%s\n' $(FOLLOWED:%='% --checks='); printf '%s\n' $(TEST_SOURCES:%='% --checks=-clang-analyzer-*'); } | \
		xargs -P $(shell nproc) -L 1 \
		sh -c 'clang-tidy --quiet "$$2" "$$1" -- $(LANGUAGE) $(filter-out -Werror,$(WARNINGS)) $(LIBRARY_CFLAGS)' tidy

lint-cppcheck:
	cppcheck --quiet --std=c11 --enable=warning,performance,portability --inline-suppr --error-exitcode=1 \
		--suppress=missingIncludeSystem -D_POSIX_C_SOURCE=200809L -Ichecker $(SOURCES)

check-external: setup-check
	@$(MAKE) --silent --no-print-directory all
	@tests/external/run

FUZZ_SECONDS ?= 20
fuzz: setup-check
	@$(MAKE) --silent --no-print-directory VARIANT=fuzz fuzzers
	@tests/fuzz/run $(FUZZ_SECONDS)

# Two at a time, the largest first; what each says stays in build/mutate-designs.
MUTATE_STEP ?= 1
MUTATED := tern-quay saltmarsh-lea cobble-hythe-revamp heron-gate curlew-spit
mutate-designs: setup-test
	@$(MAKE) --silent --no-print-directory $(OUT)/mutate_designs
	@mkdir -p build/mutate-designs
	@printf '%s\n' $(MUTATED) | xargs -P 2 -I DESIGN sh -c \
		'$(OUT)/mutate_designs $(MUTATE_STEP) 0 designs/DESIGN.xml >build/mutate-designs/DESIGN.txt'; status=$$?; \
		for design in $(MUTATED); do echo "== $$design"; grep -vE '^explained' build/mutate-designs/$$design.txt; done; exit $$status

check-strace: setup-check
	@$(MAKE) --silent --no-print-directory all
	@tests/strace_check

bench: setup-check
	@$(MAKE) --silent --no-print-directory all $(BENCH_PROGRAMS)
	@for program in $(filter-out %/sulfide_bench,$(BENCH_PROGRAMS)); do $$program || exit; done
	@tests/bench/run

# Daemons of a cluster, for real: as root, minutes, and not part of .ci/run.
CLUSTER ?= 400
check-cluster: setup-cluster
	@$(MAKE) --silent --no-print-directory all
	@tests/cluster/check_cluster build/leanrich $(CLUSTER)

# The documents as people open them: the page in Chromium, sheets by WeasyPrint, the workbook in LibreOffice, the package in
# a root of its own.
check-document: setup-document
	@$(MAKE) --silent --no-print-directory all
	@tests/document/run

# Counted are the suite, the commands as given, on a terminal too, and the failing disks and memory.
coverage: setup-check
	@$(MAKE) --silent --no-print-directory VARIANT=coverage tests all build/starve.so
	@find build/coverage -name '*.gcda' -delete
	@ln -sf ../starve.so build/coverage/starve.so
	LEANRICH=build/coverage/leanrich build/coverage/suite --jobs 2
	tests/run_program build/coverage
	/usr/bin/python3 tests/document/terminal_check.py build/coverage/leanrich
	tests/run_faults build/coverage
	gcovr build/coverage --root . --filter checker/ --html-details build/coverage/index.html --json-summary build/coverage/summary.json
	@tests/coverage_by_folder build/coverage/summary.json

# Not part of `make test`: it takes hours. MUTATION="--only judge/weigh.c" or "--again" shorten it (tests/mutation/mutate_code).
mutate-code: setup-check
	@MUTANT_COMPILE='$(CC) $(LANGUAGE) $(LIBRARY_CFLAGS) -O1' MUTANT_SANITIZE='$(FLAGS_asan)' \
		MUTANT_LIBRARIES='$(LIBRARY_LIBS)' MUTANT_TEST_LIBRARIES='$(TEST_LIBS)' \
		tests/mutation/mutate_code $(MUTATION)

valgrind: setup-check
	@$(MAKE) --silent --no-print-directory all
	@valgrind --quiet --leak-check=full --error-exitcode=86 build/leanrich review --output build/valgrind $(DEMO); \
		status=$$?; [ $$status -le 1 ] || exit $$status

fresh:
	@tests/fresh_machine

#: make install         program, manual and completion into PREFIX (/usr/local), under DESTDIR when given
#: make deb             a Debian package, build/leanrich_VERSION_ARCHITECTURE.deb
#: make clean           removes build/
.PHONY: install deb clean help
install: all
	install -D -m 755 build/leanrich $(DESTDIR)$(PREFIX)/bin/leanrich
	install -D -m 644 LICENSE $(DESTDIR)$(PREFIX)/share/doc/leanrich/LICENSE
	install -D -m 644 checker/leanrich.1 $(DESTDIR)$(PREFIX)/share/man/man1/leanrich.1
	install -D -m 644 checker/completion.bash $(DESTDIR)$(PREFIX)/share/bash-completion/completions/leanrich

deb: setup-document
	@rm -rf --one-file-system build/deb
	@$(MAKE) --silent --no-print-directory install DESTDIR=build/deb/root PREFIX=/usr
	@checker/debian/build $(VERSION) build/deb/root

clean:
	rm -rf --one-file-system build

help:
	@sed -n 's/^#: //p' Makefile
