/*
 * Unknown never passes: every known input of every finding that meets, and every word by which its rule selects or narrows, is made
 * unknown, one at a time, in every design there is, and the rule judged anew on that item. It may still be met only where it
 * is met for every value the input can have, or where the rule declares what silence means and why. The
 * counts are in tests/data/silence_table.txt (make tables).
 */
#include <criterion/criterion.h>
#include <glob.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "judge/silence.h"
#include "printed.h"
#include "review_support.h"

static struct trial trial;
static struct arena kept, once; /* for all designs; for one finding */

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
	arena_release(&kept);
	arena_release(&once);
}

TestSuite(silence, .init = begin, .fini = end);

struct count {
	size_t tried, words, asked, departs, every_value, declared, open, passes;
};

/* One finding, and the table over the computed one in which a value of it is another. */
struct look {
	const char *design, *open_defaults;
	struct table *over;
	const struct finding *finding;
	const char *name; /* of the quantity or word that is made unknown */
	size_t input;	  /* its index, or the count of inputs for a word of a condition */
	const struct item *whose;
	enum kind kind;
	struct count *count;
};

/* The value in every case, or with NULL what it was. */
static void put(const struct look *look, const struct quantity *value)
{
	for (int c = EVERY_CASE; c < (int)table_case_count(look->over); c++) {
		const struct item *holder = look->whose;
		if (look->input < look->finding->input_count && c != EVERY_CASE)
			holder = table_follow(
				trial.table, look->finding->item, c, look->finding->rule->inputs[look->input].of);
		if (holder)
			table_put(look->over, holder, c, look->name, value);
	}
}

static struct finding judged_with(const struct look *look, const struct quantity *value)
{
	struct finding finding = {.verdict = VERDICT_NOT_APPLICABLE};
	put(look, value);
	judge_one(&once, trial.catalogue, look->over, look->finding->rule, look->finding->item, &finding);
	put(look, NULL);
	return finding;
}

static const struct quantity *value_that_departs(const struct look *look)
{
	const struct finding *finding = look->finding;
	struct values values = values_possible(&once, finding->rule, look->name, look->kind, finding, trial.vocabulary);
	for (size_t i = 0; i < values.count; i++)
		if (judged_with(look, values.rows[i]).verdict == VERDICT_DEPARTS)
			return values.rows[i];
	return NULL;
}

static bool is_open_default(const struct look *look)
{
	const struct rule *rule = look->finding->rule;
	return look->input < rule->input_count && rule->inputs[look->input].absent &&
		strstr(look->open_defaults, arena_format(&once, "%s %s\n", rule->id, rule->inputs[look->input].name)) !=
		NULL;
}

static bool is_declared(const struct look *look)
{
	const struct rule *rule = look->finding->rule;
	return look->input < rule->input_count && rule->inputs[look->input].absent &&
		*rule->inputs[look->input].absent_why;
}

static void make_unknown(const struct look *look)
{
	struct count *count = look->count;
	struct finding found = judged_with(look,
		quantity_unknown(&once, look->kind,
			arena_format(&once, "%s of %s is not stated", look->name, look->whose->tag)));
	count->tried++;
	count->words += look->input == look->finding->input_count;
	if (found.verdict == VERDICT_DEPARTS) {
		count->departs++;
		return;
	}
	if (!verdict_is_silent(&found)) {
		count->asked++;
		return;
	}
	const struct quantity *against = value_that_departs(look);
	if (!against) {
		count->every_value++;
	} else if (is_declared(look)) {
		count->declared++;
	} else if (is_open_default(look)) {
		count->open++;
	} else {
		count->passes++;
		cr_expect_fail("%s, %s on %s: %s without %s of %s, departs with %s", look->design,
			look->finding->rule->id, look->finding->item->tag, verdict_word(found.verdict), look->name,
			look->whose->tag, quantity_show_both(&once, against));
	}
}

/* ---- words ---- */

/* Nothing unknown is in a sentence of a departure or a remedy. */
static void expect_words(const struct finding *finding, const char *where)
{
	static const char *const never[] = {"not stated", "not determined", "not known", "not given", "{", "\x01"};
	const char *const said[] = {
		finding->verdict == VERDICT_DEPARTS ? finding->message : "", finding->remedy, finding->rule->title};
	for (size_t i = 0; i < COUNT(said); i++)
		for (size_t k = 0; k < COUNT(never); k++)
			cr_expect(!strstr(said[i], never[k]), "%s, %s: %s", finding->rule->id, where, said[i]);
}

/* In a design a rule finds its own words: not only its title and the item, which are there where every sentence was left out. */
static void expect_own_words(const struct finding *finding, const char *where)
{
	const char *title = arena_format(&once, "%s: %s ", finding->rule->title, finding->item->tag);
	expect_words(finding, where);
	cr_expect(strncmp(finding->message, title, strlen(title)) != 0, "%s: %s", where, finding->message);
	cr_expect(
		strncmp(finding->remedy, "Answer for ", strlen("Answer for ")) != 0, "%s: %s", where, finding->remedy);
}

/* ---- what a finding reads ---- */

static void each_input(struct look *look)
{
	const struct finding *finding = look->finding;
	for (size_t i = 0; i < finding->input_count; i++) {
		const struct rule_input *input = &finding->rule->inputs[i];
		const struct quantity *value = finding->inputs[i].quantity;
		const struct item *holder =
			table_follow(trial.table, finding->item, finding->operating_case, input->of);
		if (input->constant || value->known == UNKNOWN || value == input->absent || !holder)
			continue;
		look->input = i;
		look->name = input->quantity;
		look->whose = holder;
		look->kind = value->kind;
		make_unknown(look);
	}
}

static bool is_input(const struct rule *rule, const char *name)
{
	for (size_t i = 0; i < rule->input_count; i++)
		if (strcmp(rule->inputs[i].name, name) == 0)
			return true;
	return false;
}

/* A word that selects or narrows is that of the item, else of the solvent, else of the basis. */
static void each_word(struct look *look, struct conditions conditions)
{
	const struct finding *finding = look->finding;
	for (size_t i = 0; i < conditions.count; i++) {
		const char *name = conditions.rows[i].name;
		const struct item *const holders[] = {
			finding->item, table_sole(trial.table, "solvent"), table_sole(trial.table, "basis")};
		if (is_input(finding->rule, name))
			continue;
		for (size_t k = 0; k < COUNT(holders); k++) {
			int c = finding->operating_case;
			const struct quantity *word = holders[k] ? table_get(trial.table, holders[k], c, name) : NULL;
			if (!word || word->known == UNKNOWN || !word->word)
				continue;
			look->input = finding->input_count;
			look->name = name;
			look->whose = holders[k];
			look->kind = word->kind;
			make_unknown(look);
			break;
		}
	}
}

static void each_finding(struct look *look)
{
	const struct judgement *judgement = &trial.review->judgement;
	for (size_t i = 0; i < judgement->count; i++) {
		const struct rule *rule = judgement->findings[i].rule;
		look->finding = &judgement->findings[i];
		expect_own_words(look->finding, look->design);
		if (look->finding->verdict != VERDICT_MEETS)
			continue;
		each_input(look);
		for (size_t k = 0; k < rule->selection_count; k++)
			each_word(look, rule->selections[k].conditions);
		for (size_t k = 0; k < rule->limit_count; k++)
			each_word(look, rule->limits[k].narrowing);
		arena_release(&once);
	}
}

static void of_design(const char *path, const char *open_defaults, struct count *count)
{
	struct arena above = {0};
	trial_review_file(&trial, path);
	cr_assert_not_null(trial.review, "%s: %s", path, trial_messages(&trial));
	struct look look = {.design = path,
		.open_defaults = open_defaults,
		.over = table_overlay(&above, trial.table),
		.count = count};
	each_finding(&look);
	arena_release(&above);
}

/* Every example of every rule, as it is and without each of its inputs in turn, their defaults taken away too. */
Test(silence, no_message_or_remedy_speaks_of_what_is_not_known)
{
	struct problems ignored = {.arena = &once};
	size_t departed = 0;
	for (size_t i = 0; i < trial.catalogue->rule_count; i++) {
		const struct rule *rule = &trial.catalogue->rules[i];
		struct rule_input inputs[EXPRESSION_VARIABLES];
		struct rule changed = *rule;
		memcpy(inputs, rule->inputs, rule->input_count * sizeof *inputs);
		changed.inputs = inputs;
		for (size_t k = 0; k < rule->example_count * (rule->input_count + 1); k++) {
			size_t input = k % (rule->input_count + 1);
			const struct example *example = &rule->examples[k / (rule->input_count + 1)];
			struct example less = *example;
			if (input < rule->input_count) {
				less = example_without(&once, example, rule->inputs[input].name);
				inputs[input].absent = NULL;
			}
			struct finding finding = judge_example(&once, &changed, trial.catalogue, &less, &ignored);
			if (input < rule->input_count)
				inputs[input].absent = rule->inputs[input].absent;
			departed += finding.verdict == VERDICT_DEPARTS;
			if (finding.verdict != VERDICT_NOT_APPLICABLE)
				expect_words(&finding, input < rule->input_count ? rule->inputs[input].name : "none");
		}
		arena_release(&once);
	}
	cr_expect(departed > 1000, "%zu", departed);
}

Test(silence, printed_nothing_unknown_passes_in_any_design)
{
	struct count count = {0};
	glob_t found = {0};
	const char *open_defaults = file_text(&kept, "tests/data/open_defaults.txt");
	cr_assert(glob("designs/*.xml", 0, NULL, &found) == 0);
	cr_assert(glob("tests/designs/*.xml", GLOB_APPEND, NULL, &found) == 0);
	for (size_t i = 0; i < found.gl_pathc; i++)
		of_design(found.gl_pathv[i], open_defaults, &count);
	struct text text = text_in(&kept);
	text_addf(&text,
		"Known inputs of findings that meet, each made unknown in turn, in %zu designs\n"
		"%7zu tried, %zu of them words that select or narrow\n%7zu asked for\n%7zu depart\n%7zu met whatever "
		"the value\n"
		"%7zu met by a default that says why\n%7zu met by a default that does not say why yet\n"
		"%7zu pass though unknown\n",
		found.gl_pathc, count.tried, count.words, count.asked, count.departs, count.every_value, count.declared,
		count.open, count.passes);
	globfree(&found);
	cr_expect(count.passes == 0 && count.tried > 1000, "%s", text.data);
	cr_expect(printed_holds("tests/data/silence_table.txt", text.data), "%s", text.data);
}

/* ---- rules of the test's own ---- */

#define RULE(inputs, rest)                                                                                             \
	"<rule id='TST-001' since='1' title='Title' force='advisory' why-force='test' " rest                           \
	"<message>{item} departs</message><why>w</why><remedy>r</remedy>" inputs "</rule>"

static bool favourable(const char *rule, size_t input, const char **against)
{
	const struct quantity *value = NULL;
	trial_open_with(&trial, rule, NULL);
	const struct example *example =
		default_is_favourable(&trial.arena, trial.catalogue, &trial.catalogue->rules[0], input, NULL, &value);
	*against = value ? quantity_show(&trial.arena, value, NULL) : "";
	return example != NULL;
}

Test(silence, a_default_is_favourable_where_another_value_departs)
{
#define TRACED(absent)                                                                                                 \
	RULE("<example verdict='meets' t='no'/>",                                                                      \
		"><select kind='line'/><input name='t' quantity='traced' kind='yes-no' absent='" absent                \
		"'/><assert test='not($t)'/><limit says='s' source='read' known='read'/>")
#define SPEED(absent, limit, kind)                                                                                     \
	RULE("<example verdict='meets' w='a'/>",                                                                       \
		"judged='v'><select kind='line'/><input name='v' quantity='velocity' kind='" kind "' absent='" absent  \
		"'/><input name='w' quantity='service' kind='word' absent='b'/><when test='$w = \"a\"'/><limit "       \
		"" limit " source='read' known='read'/>")
	const char *against;
	/* A rule that meets by its default alone is not judged, which is no favour. */
	cr_expect_not(favourable(TRACED("no"), 0, &against));
	cr_expect_not(favourable(TRACED("yes"), 0, &against));
	/* The word that keeps the rule from speaking. */
	cr_expect_not(favourable(SPEED("1 m/s", "at-most='2 m/s'", "velocity"), 1, &against));
	cr_expect(favourable(SPEED("3 m/s", "at-most='2 m/s'", "velocity"), 1, &against));
	cr_expect_str_eq(against, "a");
	/* With a fact beside it a number on the far side of the limit, in either direction. */
	static const char both[] = RULE("<example verdict='meets' x='1 m/s' v='1 m/s'/>",
		"><select kind='line'/><input name='v' quantity='velocity' kind='velocity' absent='1 m/s'/>"
		"<input name='x' quantity='velocity' kind='velocity'/>"
		"<constant name='c' value='2 m/s' kind='velocity' source='read' known='read'/>"
		"<assert test='$v &lt;= $c and $x &lt;= $c'/><limit says='s' source='read' known='read'/>");
	cr_expect(favourable(both, 0, &against) && strstr(against, "100 m/s"), "%s", against);
	cr_expect_not(favourable(both, 1, &against)); /* it has no default */
}

static bool holds(const struct values *values, double from, double to)
{
	for (size_t i = 0; i < values->count; i++)
		if (values->rows[i]->si > from && values->rows[i]->si < to)
			return true;
	return false;
}

Test(silence, values_stand_on_both_sides_of_every_number_and_within_physics)
{
	trial_open_with(&trial,
		RULE("",
			"judged='v'><select kind='line'/><input name='v' quantity='velocity' kind='velocity'/>"
			"<constant name='c' value='7 m/s' kind='velocity' source='read' known='read'/>"
			"<constant name='t' value='90 degC' kind='temperature' source='read' known='read'/>"
			"<limit at-most='2 m/s' source='read' known='read'/>"),
		NULL);
	const struct rule *rule = &trial.catalogue->rules[0];
	struct values values = values_possible(&trial.arena, rule, "velocity", KIND_VELOCITY, NULL, NULL);
	cr_expect(holds(&values, 1.9, 2) && holds(&values, 2, 2.1) && holds(&values, 6.9, 7) && holds(&values, 7, 7.1));
	cr_expect(holds(&values, -0.1, 0.001) && holds(&values, 100, 1e6));
	for (size_t i = 0; i < values.count; i++)
		cr_expect(kind_allows(KIND_VELOCITY, values.rows[i]->si));
	values = values_possible(&trial.arena, rule, "temperature", KIND_TEMPERATURE, NULL, NULL);
	cr_expect(holds(&values, 363, 363.15) && holds(&values, 363.15, 363.3) && !holds(&values, -1e9, -1e-9));
	values = values_possible(&trial.arena, rule, "traced", KIND_YES_NO, NULL, NULL);
	cr_expect_eq(values.count, 2);
	trial_close(&trial);
	trial_open(&trial, NULL);
	rule = &trial.catalogue->rules[0];
	values = values_possible(&trial.arena, rule, "salts-basis", KIND_WORD, NULL, trial.vocabulary);
	cr_expect(values.count >= 2 && values.rows[0]->word[0] > ' ', "the choices of the schema");
}
