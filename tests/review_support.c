#include "review_support.h"

#include <criterion/criterion.h>
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/count.h"
#include "base/text.h"
#include "command/commands.h"
#include "pipeline/compute_unit.h"
#include "pipeline/stages.h"
#include "pipeline/assumed.h"
#include "pipeline/unsettled.h"
#include "resolve/resolve.h"

/* ---- catalogues ---- */

static void begin(struct trial *trial)
{
	trial_close(trial);
	trial->problems.arena = &trial->arena;
	trial->vocabulary = unit_vocabulary(&trial->arena);
}

void trial_open(struct trial *trial, const char *profile)
{
	begin(trial);
	trial->catalogue = load_catalogue(&trial->arena, NULL, profile, &trial->problems);
	cr_assert_not_null(trial->catalogue, "%s", trial_messages(trial));
}

static struct rule_file rule_file(const char *name, const char *text)
{
	return (struct rule_file){.name = name, .bytes = text, .size = strlen(text)};
}

static const char sources[] = "<sources xmlns='urn:leanrich:rules:1'>"
			      "<source key='read' author='A' title='Read' known='read'/>"
			      "<source key='memory' author='B' title='Remembered' known='memory'/>"
			      "<source key='secondary' author='C' title='Digest' known='secondary'/>"
			      "<source key='custom' author='none' title='Custom' known='common practice'/>"
			      "</sources>";

void trial_open_with(struct trial *trial, const char *rules, const char *profile)
{
	begin(trial);
	struct rule_file files[] = {rule_file("sources.xml", sources),
		rule_file("rules.xml",
			arena_format(&trial->arena,
				"<rules xmlns='urn:leanrich:rules:1' family='test' prefix='TST' "
				"title='Test'>%s</rules>",
				rules))};
	struct rule_file chosen = {.name = NULL};
	if (profile)
		chosen = rule_file("profile.xml",
			arena_format(&trial->arena,
				"<profile xmlns='urn:leanrich:rules:1' name='test' title='Test' %s</profile>",
				profile));
	trial->catalogue = catalogue_read(&trial->arena, files, COUNT(files), profile ? &chosen : NULL,
		rules_vocabulary(&trial->arena), &trial->problems);
	cr_assert_not_null(trial->catalogue, "%s", trial_messages(trial));
}

void trial_close(struct trial *trial)
{
	catalogue_release(trial->catalogue);
	arena_release(&trial->arena);
	*trial = (struct trial){.review = NULL};
}

/* ---- reviewing ---- */

static void review_resolved(struct trial *trial, const char *name, const struct resolved_unit *read)
{
	struct computed_unit computed = compute_unit(&trial->arena, read->table, (struct compute_options){0});
	trial->table = computed.table;
	struct judgement judgement = judge(&trial->arena, trial->catalogue, trial->table, EVERY_CASE);
	judgement =
		unsettled_weigh(&trial->arena, read->unit, trial->catalogue, trial->table, NULL, judgement, EVERY_CASE);
	judgement =
		assumed_weigh(&trial->arena, read->unit, trial->catalogue, trial->table, NULL, judgement, EVERY_CASE);
	trial->review = review_make(&trial->arena, name, computed.table, computed.lean_side, computed.reconciled,
		trial->catalogue, judgement);
}

void trial_review_file(struct trial *trial, const char *path)
{
	struct resolved_unit read;
	trial->table = NULL;
	trial->review = NULL;
	if (stages_read_file(&trial->arena, path, trial->vocabulary, trial->catalogue, &trial->problems, &read))
		review_resolved(trial, path, &read);
}

void trial_review(struct trial *trial, const char *design)
{
	const struct text bytes = {.data = arena_copy(&trial->arena, design), .length = strlen(design)};
	struct resolved_unit read;
	trial->table = NULL;
	trial->review = NULL;
	if (stages_read(
		    &trial->arena, "test.xml", &bytes, trial->vocabulary, trial->catalogue, &trial->problems, &read))
		review_resolved(trial, "test.xml", &read);
}

void trial_review_unit(struct trial *trial, const char *amine, const char *body)
{
	trial_review(trial,
		arena_format(&trial->arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'>"
			"<basis kind='new' barometric-pressure='1.01325 bara'><case id='normal'/></basis>"
			"<solvent amine='%s' strength='40 wt%%'/>%s</unit>",
			amine, body));
	cr_assert_not_null(trial->review, "%s", trial_messages(trial));
}

/* ---- asking ---- */

const struct finding *trial_finding(const struct trial *trial, const char *rule, const char *item)
{
	const struct judgement *judgement = &trial->review->judgement;
	for (size_t i = 0; i < judgement->count; i++)
		if (strcmp(judgement->findings[i].rule->id, rule) == 0 &&
			strcmp(judgement->findings[i].item->tag, item) == 0)
			return &judgement->findings[i];
	return NULL;
}

static int case_index(const struct table *table, const char *id)
{
	for (size_t i = 0; id && i < table_case_count(table); i++)
		if (strcmp(table_case(table, (int)i)->id, id) == 0)
			return (int)i;
	cr_assert(!id, "no case '%s'", id ? id : "");
	return EVERY_CASE;
}

const struct quantity *trial_value(
	const struct trial *trial, const char *item, const char *operating_case, const char *name)
{
	const struct item *found = table_find(trial->table, item);
	cr_assert_not_null(found, "no item '%s'", item);
	return table_get(trial->table, found, case_index(trial->table, operating_case), name);
}

const struct quantity *trial_put(const struct trial *trial, const char *item, const char *name)
{
	const struct quantity *found = trial_value(trial, item, NULL, name);
	cr_assert_not_null(found, "%s of %s was not put", name, item);
	return found;
}

double trial_si(const struct trial *trial, const char *item, const char *name)
{
	const struct quantity *found = trial_put(trial, item, name);
	cr_assert(found->known != UNKNOWN && found->bound == BOUND_NONE, "%s of %s: %s", name, item,
		found->known == UNKNOWN ? found->reason : "only a bound");
	return found->si;
}

double trial_number(
	const struct trial *trial, const char *item, const char *operating_case, const char *name, const char *unit)
{
	const struct quantity *value = trial_value(trial, item, operating_case, name);
	cr_assert(value && value->known != UNKNOWN, "%s of %s is not known: %s", name, item,
		value && value->reason ? value->reason : "nothing was put");
	cr_assert(kind_is_number(value->kind), "%s of %s is no number", name, item);
	return quantity_in(value->si, value->kind, unit);
}

const char *problem_lines(struct arena *arena, struct problems *problems)
{
	struct text text = text_in(arena);
	problem_sort(problems);
	for (size_t i = 0; i < problems->count; i++)
		text_addf(&text, "%s\n", problem_line(problems, &problems->rows[i]));
	return text.data ? text.data : "";
}

const char *trial_messages(struct trial *trial)
{
	return problem_lines(&trial->arena, &trial->problems);
}

/* ---- files and the shell ---- */

const char *file_text(struct arena *arena, const char *path)
{
	FILE *file = fopen(path, "rb");
	cr_assert_not_null(file, "%s is not there", path);
	struct text text = text_in(arena);
	char block[4096];
	for (size_t got; (got = fread(block, 1, sizeof block, file)) > 0;)
		text_add_span(&text, block, got);
	fclose(file);
	return text.data;
}

/* The lines of `all` that begin with the name of this file. */
static const char *lines_of(struct arena *arena, const char *all, const char *file)
{
	struct text text = text_in(arena);
	size_t length = strlen(file);
	for (const char *line = all; *line;) {
		size_t span = strcspn(line, "\n") + 1;
		if (strncmp(line, file, length) == 0 && line[length] == ':')
			text_add_span(&text, line, span);
		line += span;
	}
	return text.data;
}

void expect_messages(struct arena *arena, const char *folder, const char *all)
{
	DIR *entries = opendir(folder);
	cr_assert_not_null(entries, "%s is not there", folder);
	size_t files = 0, expectations = 0, accounted = 0;
	for (struct dirent *entry; (entry = readdir(entries)) != NULL;) {
		const char *dot = strrchr(entry->d_name, '.');
		expectations += dot && strcmp(dot, ".expected") == 0;
		if (!dot || strcmp(dot, ".xml") != 0)
			continue;
		const char *file = arena_format(arena, "%s/%s", folder, entry->d_name);
		const char *expected =
			file_text(arena, arena_format(arena, "%.*s.expected", (int)strlen(file) - 4, file));
		const char *given = lines_of(arena, all, file);
		cr_expect(*expected != '\0', "%s expects nothing", file);
		cr_expect_str_eq(given, expected, "%s says:\n%sexpected:\n%s", file, given, expected);
		accounted += strlen(given);
		files++;
	}
	closedir(entries);
	cr_expect(files > 0 && files == expectations, "%s: %zu files, %zu expectations", folder, files, expectations);
	cr_expect(accounted == strlen(all), "%s: lines that belong to no file:\n%s", folder, all);
}

void expect_listed(struct arena *arena, const char *lines, const char *path)
{
	if (strcmp(lines, file_text(arena, path)) == 0)
		return;
	const char *mode = getenv("LEANRICH_TABLES");
	bool accepted = mode && strcmp(mode, "write") == 0;
	const char *beside = accepted ? path : arena_format(arena, "build/%s", strrchr(path, '/') + 1);
	FILE *out = fopen(beside, "w");
	cr_assert(out && fputs(lines, out) != EOF && fclose(out) == 0);
	cr_expect(accepted, "%s is not what is found: diff it with %s; make accept if that is right", path, beside);
}

static char scratch[64];

void shell_begin(void)
{
	strcpy(scratch, "/tmp/leanrich-test-XXXXXX");
	cr_assert_not_null(mkdtemp(scratch));
	setenv("SCRATCH", scratch, 1);
	const char *program = getenv("LEANRICH");
	program = program ? program : "build/leanrich";
	struct arena arena = {0};
	char here[4096];
	cr_assert_not_null(getcwd(here, sizeof here));
	if (*program != '/') /* commands may go elsewhere */
		setenv("LEANRICH", arena_format(&arena, "%s/%s", here, program), 1);
	arena_release(&arena);
}

/* Runs a line of the shell and gives its exit status. */
static int run_line(const char *line)
{
	int status = 0;
	pid_t child = fork();
	cr_assert(child >= 0);
	if (child == 0) {
		execl("/bin/sh", "sh", "-c", line, (char *)NULL);
		_exit(127);
	}
	cr_assert(waitpid(child, &status, 0) == child && WIFEXITED(status), "killed: %s", line);
	return WEXITSTATUS(status);
}

void shell_end(void)
{
	cr_expect(
		run_line("chmod -R u+w \"$SCRATCH\" && rm -rf \"$SCRATCH\"") == 0, "%s could not be removed", scratch);
}

struct run shell(struct arena *arena, const char *command)
{
	const char *line =
		arena_format(arena, "(%s) >%s/stdout.log 2>%s/stderr.log </dev/null", command, scratch, scratch);
	return (struct run){.status = run_line(line),
		.output = file_text(arena, arena_format(arena, "%s/stdout.log", scratch)),
		.errors = file_text(arena, arena_format(arena, "%s/stderr.log", scratch))};
}
