/*
 * Where the catalogue is exercised: every rule judged, every input of a rule known, in a design that is read from XML
 * (designs/, tests/designs/). Which design it is, is not held fast. And the matrix of families and kinds against the rules.
 */
#include <criterion/criterion.h>
#include <glob.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "judge/evaluation.h"
#include "review_support.h"

enum { DESIGNS_AT_MOST = 64, RULES_AT_MOST = 512 };

static struct trial trial;
static struct arena kept; /* outlives the trial of one design */

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
	arena_release(&kept);
}

TestSuite(coverage, .init = begin, .fini = end);

/* What has been seen of one rule: the designs by name. */
struct seen {
	const char *id;
	const char *judged;			 /* the first design in which it is */
	const char *known[EXPRESSION_VARIABLES]; /* the first design in which the input is, not by the rule's default */
};

static const char *name_of(const char *path)
{
	const char *slash = strrchr(path, '/');
	const char *name = slash ? slash + 1 : path;
	return arena_copy_span(&kept, name, strcspn(name, "."));
}

static bool is_judged(const struct finding *finding)
{
	return finding->verdict == VERDICT_DEPARTS || finding->verdict == VERDICT_MEETS ||
		finding->verdict == VERDICT_ACCEPTED;
}

static void look_at(struct seen *rows, const char *path)
{
	const char *name = name_of(path);
	trial_review_file(&trial, path);
	cr_assert_not_null(trial.review, "%s: %s", path, trial_messages(&trial));
	for (size_t i = 0; i < trial.review->judgement.count; i++) {
		const struct finding *finding = &trial.review->judgement.findings[i];
		struct seen *row = &rows[finding->rule - trial.catalogue->rules];
		if (is_judged(finding) && !row->judged)
			row->judged = name;
		for (size_t k = 0, at = 0; k < finding->rule->input_count; k++) {
			const struct rule_input *input = &finding->rule->inputs[k];
			if (at == finding->input_count || strcmp(finding_input(finding, at).symbol, input->name) != 0)
				continue; /* of a rule that does not apply: nothing is known of it */
			const struct quantity *value = finding->inputs[at++].quantity;
			if (value && value->known != UNKNOWN && value != input->absent && !row->known[k])
				row->known[k] = name;
		}
	}
}

Test(coverage, every_rule_is_judged_and_every_input_known_in_a_design)
{
	static struct seen rows[RULES_AT_MOST];
	glob_t found = {0};
	cr_assert(trial.catalogue->rule_count <= RULES_AT_MOST);
	cr_assert(glob("designs/*.xml", 0, NULL, &found) == 0);
	cr_assert(glob("tests/designs/*.xml", GLOB_APPEND, NULL, &found) == 0);
	for (size_t i = 0; i < found.gl_pathc; i++)
		look_at(rows, found.gl_pathv[i]);
	globfree(&found);
	for (size_t i = 0; i < trial.catalogue->rule_count; i++) {
		const struct rule *rule = &trial.catalogue->rules[i];
		cr_expect(rows[i].judged, "%s is judged in no design", rule->id);
		for (size_t k = 0; k < rule->input_count; k++)
			cr_expect(rule->inputs[k].constant || rows[i].known[k], "%s: %s becomes known in no design",
				rule->id, rule->inputs[k].name);
	}
}

static size_t families_of(const char *header, const struct family **columns)
{
	size_t count = 0;
	struct text words = text_in(&kept);
	text_add(&words, header);
	for (char *word = strtok(words.data, " "); word; word = strtok(NULL, " ")) {
		for (size_t f = 0; f < trial.catalogue->family_count; f++)
			if (strcmp(trial.catalogue->families[f].prefix, word) == 0)
				columns[count] = &trial.catalogue->families[f];
		cr_assert_not_null(columns[count++], "%s", word);
	}
	return count;
}

static size_t rules_that_select(const struct family *family, const char *kind)
{
	size_t count = 0;
	for (size_t i = 0; i < trial.catalogue->rule_count; i++)
		count += strcmp(trial.catalogue->rules[i].family, family->name) == 0 &&
			rule_selects_kind(&trial.catalogue->rules[i], kind);
	return count;
}

/* Each row: a kind, and how many rules of each family select it. */
static size_t check_row(char *line, const struct family *const *columns, size_t count)
{
	const char *kind = strtok(line, " ");
	size_t sum = 0;
	for (size_t f = 0; f < count; f++) {
		const char *cell = strtok(NULL, " ");
		size_t rules = cell && strcmp(cell, "-") != 0 ? strtoul(cell, NULL, 10) : 0;
		cr_assert_not_null(cell, "%s has too few columns", kind);
		cr_expect(rules == rules_that_select(columns[f], kind), "%s, %s: %s", kind, columns[f]->prefix, cell);
		sum += rules;
	}
	return sum;
}

Test(coverage, the_matrix_is_that_of_the_rules, .init = shell_begin, .fini = shell_end)
{
	static const struct family *columns[RULES_AT_MOST];
	size_t rows = 0;
	trial_open(&trial, NULL);
	struct run run = shell(&kept, "\"$LEANRICH\" rules --matrix");
	cr_assert(run.status == 0, "%s", run.errors);
	char *at = arena_copy(&kept, run.output), *end = strchr(at, '\n');
	cr_assert_not_null(end);
	*end = '\0';
	size_t count = families_of(at, columns);
	cr_expect(count == trial.catalogue->family_count);
	for (at = end + 1; *at; at = end + 1, rows++) {
		end = strchr(at, '\n');
		cr_assert_not_null(end);
		*end = '\0';
		cr_expect(check_row(at, columns, count) > 0);
	}
	cr_expect(rows > 30, "%zu", rows);
	arena_release(&kept);
	trial_close(&trial);
}
