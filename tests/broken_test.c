/*
 * Bad input and bad places for output: the program says exactly what is wrong, and leaves nothing half-written.
 *
 * tests/broken/NAME.xml must give the messages of tests/broken/NAME.expected, all of them and no other.
 */
#include <criterion/criterion.h>

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/count.h"
#include "read/document.h"
#include "review_support.h"

static struct arena arena;

static void begin(void)
{
	arena = (struct arena){0};
	shell_begin();
}

static void end(void)
{
	shell_end();
	arena_release(&arena);
}

TestSuite(broken, .init = begin, .fini = end);

/* One run for all files: what one file says does not hang on the others. */
Test(broken, every_broken_design_gives_exactly_its_messages)
{
	struct run run = shell(&arena, "\"$LEANRICH\" review --output \"$SCRATCH/out\" tests/broken/*.xml");
	cr_expect(run.status == 3, "exit %d", run.status);
	cr_expect_str_eq(run.output, "");
	cr_expect(access(arena_format(&arena, "%s/out", getenv("SCRATCH")), F_OK) != 0, "a report was begun");
	expect_messages(&arena, "tests/broken", run.errors);
}

/* A broken design does not keep the sound one after it from being reviewed. */
Test(broken, the_design_behind_a_broken_one_is_reviewed)
{
	struct run run = shell(&arena,
		"\"$LEANRICH\" review --output \"$SCRATCH/out\" tests/broken/text.xml tests/designs/k15.xml; "
		"status=$?; test -s \"$SCRATCH/out/K15/review.html\" || exit 99; exit $status");
	cr_expect(run.status == 3, "exit %d", run.status);
	cr_expect(strstr(run.output, "K15") != NULL, "%s", run.output);
}

static void expect_run(const char *command, int status, const char *errors)
{
	struct run run = shell(&arena, command);
	cr_expect(run.status == status, "exit %d, not %d: %s\n%s", run.status, status, command, run.errors);
	cr_expect_str_eq(run.errors, errors, "%s says:\n%s", command, run.errors);
}

Test(broken, what_cannot_be_read_is_named_and_exits_4)
{
	expect_run("\"$LEANRICH\" review no-such-file.xml", 4,
		"no-such-file.xml: unreadable: No such file or directory\n");
	expect_run("\"$LEANRICH\" review tests", 4, "tests: unreadable: Is a directory\n");
	expect_run("\"$LEANRICH\" review Makefile/below.xml", 4, "Makefile/below.xml: unreadable: Not a directory\n");
	expect_run("\"$LEANRICH\" review --profile no-such-profile tests/designs/k15.xml", 4,
		"no-such-profile: unreadable: No such file or directory\n");
	expect_run("\"$LEANRICH\" review --rules no-such-folder tests/designs/k15.xml", 4,
		"no-such-folder: unreadable: No such file or directory\n");
	if (geteuid() != 0)
		expect_run("cd \"$SCRATCH\" && touch a.xml && chmod 0 a.xml && \"$LEANRICH\" review a.xml", 4,
			"a.xml: unreadable: Permission denied\n");
}

Test(broken, a_bad_command_line_exits_2)
{
	static const char *const commands[] = {"", "review", "nonsense", "review --no-such-option a.xml",
		"review --fail-on nothing a.xml", "review --output", "explain", "explain ZZZ-999",
		"review --case no-such-case --output \"$SCRATCH\" tests/designs/k15.xml"};
	for (size_t i = 0; i < COUNT(commands); i++) {
		struct run run = shell(&arena, arena_format(&arena, "\"$LEANRICH\" %s", commands[i]));
		cr_expect(run.status == 2, "exit %d: leanrich %s", run.status, commands[i]);
		cr_expect(*run.errors != '\0', "silent: leanrich %s", commands[i]);
		cr_expect_str_eq(run.output, "", "leanrich %s", commands[i]);
	}
}

Test(broken, help_exits_0)
{
	static const char *const commands[] = {
		"--help", "help", "review --help", "rules --help", "explain --help", "template --help"};
	for (size_t i = 0; i < COUNT(commands); i++) {
		struct run run = shell(&arena, arena_format(&arena, "\"$LEANRICH\" %s", commands[i]));
		cr_expect(run.status == 0 && *run.output && !*run.errors, "leanrich %s", commands[i]);
	}
}

/* ---- size ---- */

/* A sound design with a comment that fills the file up to `size` bytes. */
static const char *padded_design(size_t size)
{
	static const char head[] = "<unit xmlns='urn:leanrich:unit:1' number='BIG'><basis kind='new'/><!--",
			  tail[] = "--></unit>";
	char *path = arena_format(&arena, "%s/big.xml", getenv("SCRATCH")), block[65536];
	FILE *file = fopen(path, "wb");
	cr_assert_not_null(file);
	memset(block, ' ', sizeof block);
	fputs(head, file);
	for (size_t left = size - strlen(head) - strlen(tail); left;) {
		size_t part = left < sizeof block ? left : sizeof block;
		cr_assert(fwrite(block, 1, part, file) == part);
		left -= part;
	}
	fputs(tail, file);
	cr_assert(fclose(file) == 0);
	return path;
}

Test(broken, a_file_of_100_megabytes_is_refused_unread)
{
	const char *path = arena_format(&arena, "%s/huge.xml", getenv("SCRATCH"));
	int fd = open(path, O_WRONLY | O_CREAT, 0600);
	cr_assert(fd >= 0 && ftruncate(fd, (off_t)100 << 20) == 0);
	close(fd);
	expect_run("cd \"$SCRATCH\" && \"$LEANRICH\" review huge.xml", 3,
		"huge.xml: too-large: 100 MiB; the largest file read is 64 MiB\n");
	/* Standard input has no size beforehand: it is read up to the cap. */
	expect_run("cat \"$SCRATCH/huge.xml\" | \"$LEANRICH\" review -", 3,
		"standard input: too-large: more than 64 MiB; the largest file read is 64 MiB\n");
}

Test(broken, a_file_at_the_cap_is_read_and_one_byte_more_is_not)
{
	struct problems problems = {.arena = &arena};
	struct text bytes;
	const char *path = padded_design(DOCUMENT_LARGEST);
	cr_expect(document_bytes(&arena, path, &problems, &bytes));
	cr_expect(bytes.length == DOCUMENT_LARGEST && problems.count == 0);
	path = padded_design((size_t)DOCUMENT_LARGEST + 1);
	cr_expect(!document_bytes(&arena, path, &problems, &bytes));
	cr_expect(problems.count == 1 && problems.rows[0].code == PROBLEM_TOO_LARGE && !problems.unreadable);
}

Test(broken, a_design_of_several_megabytes_is_reviewed)
{
	padded_design((size_t)8 << 20);
	struct run run = shell(&arena, "\"$LEANRICH\" review --output \"$SCRATCH/out\" \"$SCRATCH/big.xml\"");
	cr_expect(run.status == 0, "exit %d: %s", run.status, run.errors);
}

/* ---- standard input ---- */

Test(broken, standard_input_is_reviewed_and_named_in_messages)
{
	struct run run = shell(&arena, "\"$LEANRICH\" review --output \"$SCRATCH/out\" - <tests/designs/k01.xml");
	cr_expect(run.status == 1, "exit %d: %s", run.status, run.errors);
	run = shell(&arena, "\"$LEANRICH\" review - <tests/broken/text.xml");
	cr_expect(run.status == 3);
	cr_expect(strncmp(run.errors, "standard input:1:1: malformed: ", 31) == 0, "%s", run.errors);
	expect_run("\"$LEANRICH\" review -", 3,
		"standard input: empty: the file holds nothing; it starts with <unit>: `leanrich template` writes a "
		"start\n");
}

Test(broken, the_template_is_a_design_that_can_be_reviewed)
{
	struct run run = shell(&arena, "\"$LEANRICH\" template | \"$LEANRICH\" review --output \"$SCRATCH/out\" -");
	cr_expect(run.status <= 1, "exit %d: %s", run.status, run.errors);
	cr_expect(strstr(run.output, "rules considered") != NULL, "%s", run.output);
}

/* ---- output ---- */

static void expect_no_parts(const char *when)
{
	struct run run = shell(&arena, "find \"$SCRATCH\" -name '*.part'");
	cr_expect_str_eq(run.output, "", "%s leaves %s", when, run.output);
}

Test(broken, an_unwritable_folder_exits_4_and_leaves_nothing)
{
	struct run run = shell(&arena,
		"touch \"$SCRATCH/file\" && \"$LEANRICH\" review --output \"$SCRATCH/file\" tests/designs/k15.xml");
	cr_expect(run.status == 4, "exit %d", run.status);
	cr_expect(strstr(run.errors, "cannot write ") && strstr(run.errors, "K15/review.html: Not a directory\n"), "%s",
		run.errors);
	if (geteuid() != 0) {
		run = shell(&arena,
			"mkdir -m 500 \"$SCRATCH/shut\" && \"$LEANRICH\" review --output \"$SCRATCH/shut\" "
			"tests/designs/k15.xml");
		cr_expect(run.status == 4 && strstr(run.errors, "Permission denied"), "%d %s", run.status, run.errors);
	}
	expect_no_parts("an unwritable folder");
}

/* A folder is where the report should be: what was written beside it goes again. */
Test(broken, a_report_that_cannot_take_its_name_exits_4_and_leaves_nothing)
{
	struct run run = shell(&arena,
		"mkdir -p \"$SCRATCH/out/K15/review.html/x\" && "
		"\"$LEANRICH\" review --output \"$SCRATCH/out\" tests/designs/k15.xml");
	cr_expect(run.status == 4, "exit %d", run.status);
	cr_expect(strstr(run.errors, "K15/review.html: ") != NULL, "%s", run.errors);
	expect_no_parts("a name that is taken");
}

Test(broken, full_standard_output_exits_4)
{
	static const char *const commands[] = {"review --json tests/designs/k15.xml",
		"review --output \"$SCRATCH/out\" tests/designs/k15.xml", "rules", "explain VEL-001", "template",
		"review --help", "--help"};
	for (size_t i = 0; i < COUNT(commands); i++) {
		struct run run = shell(&arena, arena_format(&arena, "\"$LEANRICH\" %s >/dev/full", commands[i]));
		cr_expect(run.status == 4, "exit %d: %s", run.status, commands[i]);
		cr_expect_str_eq(run.errors, "leanrich: cannot write to standard output: No space left on device\n",
			"%s: %s", commands[i], run.errors);
	}
}

/* A limit on the size of files, 4 or 16 KiB, stands for a disk that fills while the report is written. */
Test(broken, a_failed_write_leaves_the_older_report_as_it_was)
{
	struct run before = shell(&arena,
		"\"$LEANRICH\" review --quiet --output \"$SCRATCH/out\" tests/designs/k15.xml; "
		"cd \"$SCRATCH/out\" && find . -type f | sort | xargs cksum");
	cr_assert(strstr(before.output, "review.html") && strstr(before.output, "review.json") &&
			strstr(before.output, "review.csv"),
		"%s", before.output);
	for (int blocks = 8; blocks <= 32; blocks *= 4) {
		struct run failed = shell(&arena,
			arena_format(&arena,
				"ulimit -f %d; sed 's/number=\"K15\" name=\"[^\"]*\"/number=\"K15\" name=\"Other\"/' "
				"tests/designs/k15.xml | \"$LEANRICH\" review --quiet --output \"$SCRATCH/out\" -",
				blocks));
		cr_expect(failed.status == 4, "exit %d", failed.status);
		cr_expect(strstr(failed.errors, "K15/review.html: File too large\n") != NULL, "%s", failed.errors);
		struct run after = shell(&arena, "cd \"$SCRATCH/out\" && find . -type f | sort | xargs cksum");
		cr_expect_str_eq(after.output, before.output);
	}
	expect_no_parts("a failed write");
}

/* On a disk that is really full, where the machine lets a test mount one. */
Test(broken, a_full_disk_exits_4_and_leaves_nothing)
{
	struct run possible =
		shell(&arena, "mkdir \"$SCRATCH/disk\"; unshare -rm mount -t tmpfs -o size=16k none \"$SCRATCH/disk\"");
	if (possible.status != 0)
		cr_skip_test("no mount of its own is allowed here");
	struct run run = shell(&arena,
		"unshare -rm sh -c 'mount -t tmpfs -o size=16k none \"$SCRATCH/disk\" && "
		"\"$LEANRICH\" review --quiet --output \"$SCRATCH/disk\" tests/designs/k15.xml; "
		"echo $?; find \"$SCRATCH/disk\" -type f'");
	cr_expect_str_eq(run.output, "4\n", "%s", run.output);
	cr_expect(strstr(run.errors, "K15/review.html: No space left on device\n") != NULL, "%s", run.errors);
}

/* Ended from outside at some moment of its run, most often while a report is being written. */
Test(broken, a_run_that_is_ended_leaves_no_half_of_a_report)
{
	struct run run = shell(&arena,
		"ended=0; for ms in 01 02 03 04 05 06 08 10 12 15 18 20 25 30 40 50; do "
		"timeout -s TERM 0.0$ms \"$LEANRICH\" review --quiet --output \"$SCRATCH/out\" designs/tern-quay.xml; "
		"test $? = 124 && ended=1; done; test $ended = 1");
	cr_expect(run.status == 0, "none was ended");
	expect_no_parts("an ended run");
}

/* The number of a unit names the folder: it must not lead anywhere else. */
Test(broken, a_hostile_number_stays_below_the_output_folder)
{
	struct run run = shell(&arena,
		"mkdir \"$SCRATCH/out\"; for number in ../../evil /evil .. . '' 'a/b' \"$(printf '%0300d' 7)\"; do "
		"sed \"s|number=\\\"K15\\\"|number=\\\"$number\\\"|\" tests/designs/k15.xml | "
		"\"$LEANRICH\" review --quiet --output \"$SCRATCH/out\" - || exit; done; "
		"cd \"$SCRATCH\" && find . -name review.html | awk -F/ '{ print $2, NF }' | sort -u");
	cr_expect(run.status == 0, "exit %d: %s", run.status, run.errors);
	cr_expect_str_eq(run.output, "out 4\n", "%s", run.output);
}
