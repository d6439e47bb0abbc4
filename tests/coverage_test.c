/*
 * Where the catalogue is exercised: every rule judged, every input of a rule known, in a design that is read from XML
 * (designs/, tests/designs/); and which families look at which kind of item. Both tables are kept in tests/data and made
 * again here; a difference is left in build/ for the eye and for `cp`.
 */
#include <criterion/criterion.h>
#include <glob.h>
#include <string.h>

#include "base/text.h"
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
		for (size_t k = 0; k < finding->input_count; k++) {
			const struct quantity *value = finding->inputs[k].quantity;
			bool by_default = value == finding->rule->inputs[k].absent;
			if (value && value->known != UNKNOWN && !by_default && !row->known[k])
				row->known[k] = name;
		}
	}
}

static void say_rule(struct text *out, const struct rule *rule, const struct seen *row)
{
	text_addf(out, "%s judged in %s;", rule->id, row->judged ? row->judged : "NONE");
	for (size_t k = 0; k < rule->input_count; k++)
		if (!rule->inputs[k].constant)
			text_addf(out, " %s %s,", rule->inputs[k].name, row->known[k] ? row->known[k] : "NONE");
	out->data[--out->length] = 0;
	text_add(out, "\n");
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
	struct text table = text_in(&kept);
	for (size_t i = 0; i < trial.catalogue->rule_count; i++) {
		const struct rule *rule = &trial.catalogue->rules[i];
		say_rule(&table, rule, &rows[i]);
		cr_expect(rows[i].judged, "%s is judged in no design", rule->id);
		for (size_t k = 0; k < rule->input_count; k++)
			cr_expect(rule->inputs[k].constant || rows[i].known[k], "%s: %s becomes known in no design",
				rule->id, rule->inputs[k].name);
	}
	expect_listed(&kept, table.data, "tests/data/coverage.txt");
}

Test(coverage, the_matrix_is_that_of_the_rules, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&kept, "\"$LEANRICH\" rules --matrix");
	cr_assert(run.status == 0, "%s", run.errors);
	expect_listed(&kept, run.output, "tests/data/matrix.txt");
	arena_release(&kept);
}
