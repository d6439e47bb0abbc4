/* Files that appear whole or not at all, where the disk or a signal ends them. The program as a whole: tests/run_faults. */
#include <criterion/criterion.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/output.h"
#include "review_support.h"

static struct arena arena;

static void begin(void)
{
	shell_begin();
}

static void end(void)
{
	shell_end();
	arena_release(&arena);
}

TestSuite(output, .init = begin, .fini = end);

static const char *at(const char *name)
{
	return arena_format(&arena, "%s/%s", getenv("SCRATCH"), name);
}

static const char *files_there(void)
{
	return shell(&arena, "ls $SCRATCH | grep -v 'std.*[.]log'").output;
}

static bool write_to(const char *path, const char *text, bool whole, struct output *output)
{
	*output = output_open(&arena, path);
	cr_assert_not_null(output->stream, "%s", output->reason);
	fputs(text, output->stream);
	return output_close(&arena, output, whole);
}

/* What fits the buffer meets the end of the disk only when the file is closed: no writer has noticed by then. */
Test(output, a_disk_that_is_full_at_the_close_leaves_the_old_file)
{
	struct output output;
	cr_assert(write_to(at("a.txt"), "old\n", true, &output));
	struct rlimit limit;
	cr_assert_eq(getrlimit(RLIMIT_FSIZE, &limit), 0);
	const rlim_t whole = limit.rlim_cur;
	signal(SIGXFSZ, SIG_IGN);
	limit.rlim_cur = 8;
	setrlimit(RLIMIT_FSIZE, &limit);
	bool done = write_to(at("a.txt"), "new, and longer than eight bytes\n", true, &output);
	limit.rlim_cur = whole;
	setrlimit(RLIMIT_FSIZE, &limit);
	cr_expect_not(done);
	cr_expect_str_eq(output.reason, strerror(EFBIG));
	cr_expect_str_eq(file_text(&arena, at("a.txt")), "old\n");
	cr_expect_str_eq(files_there(), "a.txt\n");
}

/* A writer that gives up says so; where the system had no fault to tell, that is told. */
Test(output, a_document_that_was_not_made_leaves_the_old_file)
{
	struct output output;
	cr_assert(write_to(at("a.txt"), "old\n", true, &output));
	cr_expect_not(write_to(at("a.txt"), "half", false, &output));
	cr_expect_str_eq(output.reason, "the document could not be made");
	cr_expect_str_eq(file_text(&arena, at("a.txt")), "old\n");
	cr_expect_str_eq(files_there(), "a.txt\n");
}

/* A folder is where the file is to be: it is met only when the file is put in its place. */
Test(output, a_folder_in_the_way_is_told_and_nothing_is_left)
{
	struct output output;
	shell(&arena, "mkdir $SCRATCH/a.txt");
	cr_expect_not(write_to(at("a.txt"), "text", true, &output));
	cr_expect_str_eq(output.reason, strerror(EISDIR));
	cr_expect_str_eq(files_there(), "a.txt\n");
}

/* What a signal asks for: the process that writes is ended, its scratch file and the half file are gone. */
Test(output, an_abandoned_run_leaves_nothing_behind)
{
	shell(&arena, "mkdir $SCRATCH/copied; echo copy >$SCRATCH/copied/copy.xml");
	struct output output = output_open(&arena, at("b.txt"));
	cr_assert_not_null(output.stream);
	pid_t child = fork();
	cr_assert(child >= 0);
	if (child == 0) {
		pause();
		_exit(0);
	}
	output_written_by(child);
	output_scratch(at("copied/copy.xml"), at("copied"));
	output_abandon();
	int status = 0;
	cr_assert_eq(waitpid(child, &status, 0), child);
	cr_expect(WIFSIGNALED(status) && WTERMSIG(status) == SIGTERM);
	cr_expect_str_eq(files_there(), "");
	fclose(output.stream);
}
