/*
 * Expressions of rules: what is refused when a rule is loaded, and three-valued answers when it is judged.
 */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "judge/expression.h"
#include "judge/expression_check.h"
#include "judge/expression_number.h"

static struct arena arena;
static struct problems problems;
static struct evaluator *evaluator;

static void begin(void)
{
	arena = (struct arena){0};
	problems = (struct problems){.arena = &arena};
	evaluator = evaluator_new();
}

static void end(void)
{
	evaluator_release(evaluator);
	arena_release(&arena);
}

TestSuite(expression, .init = begin, .fini = end);

/* ---- one rule's inputs: v, limit numbers; a, b yes or no; w a word; d a date ---- */

enum { V, LIMIT, A, B, W, D, VARIABLES };

static const struct variable variables[VARIABLES] = {
	[V] = {"v", KIND_VELOCITY},
	[LIMIT] = {"limit", KIND_VELOCITY},
	[A] = {"a", KIND_YES_NO},
	[B] = {"b", KIND_YES_NO},
	[W] = {"w", KIND_WORD},
	[D] = {"d", KIND_DATE},
};

static const struct quantity two = {.known = STATED, .kind = KIND_VELOCITY, .si = 2};
static const struct quantity three = {.known = STATED, .kind = KIND_VELOCITY, .si = 3};
static const struct quantity zero = {.known = STATED, .kind = KIND_VELOCITY, .si = 0};
static const struct quantity below_two = {.known = STATED, .kind = KIND_VELOCITY, .si = 2, .bound = BOUND_BELOW};
static const struct quantity yes = {.known = STATED, .kind = KIND_YES_NO, .si = 1, .word = "yes"};
static const struct quantity no = {.known = STATED, .kind = KIND_YES_NO, .si = 0, .word = "no"};
static const struct quantity dea = {.known = STATED, .kind = KIND_WORD, .word = "DEA"};
static const struct quantity unknown = {.known = UNKNOWN, .kind = KIND_VELOCITY, .reason = "not stated"};

static bool compile(const char *written, struct expression *out)
{
	struct place place = {.file = "rules.xml", .line = 7, .column = 9};
	return expression_compile(&arena, written, place, variables, VARIABLES, &problems, out);
}

static enum truth evaluate(const char *written, const struct quantity *const values[VARIABLES], uint32_t *missing)
{
	struct expression expression;
	cr_assert(compile(written, &expression), "%s: %s", written,
		problems.count ? problems.rows[problems.count - 1].message : "");
	struct binding binding = {.variables = variables, .values = values, .count = VARIABLES};
	enum truth answer = expression_evaluate(evaluator, &expression, &binding, missing);
	expression_release(&expression);
	return answer;
}

static const char *const truth_words[] = {"no", "yes", "perhaps"};

static void expect(const char *written, const struct quantity *const values[VARIABLES], enum truth answer)
{
	enum truth given = evaluate(written, values, NULL);
	cr_expect(given == answer, "%s is %s, not %s", written, truth_words[given], truth_words[answer]);
}

/* ---- refused ---- */

static void expect_refused(const char *written, const char *why)
{
	struct expression expression;
	size_t before = problems.count;
	bool compiled = compile(written, &expression);
	cr_expect(!compiled, "taken: %s", written);
	if (compiled) {
		expression_release(&expression);
		return;
	}
	cr_assert(problems.count == before + 1);
	const struct problem *problem = &problems.rows[before];
	cr_expect(problem->code == PROBLEM_BAD_EXPRESSION && problem->place.line == 7 && problem->place.column == 9);
	cr_expect(strstr(problem->message, why) != NULL, "%s: %s", written, problem->message);
}

Test(expression, paths_are_refused)
{
	static const char *const paths[] = {"/", "//line", "/unit/line", ".", "..", "./v", "@size", "v", "line[1]", "*",
		"and", "$a and or", "not(div)", "$v > mod", "($v) + (*)", "- *", "child::line", "$v/line", "$v[1]",
		"$v | $limit", "(.)", "$v = .", "self::node()", "ancestor::*", "$v * *", "$v > v", "#x", "$v:x", "{$v}",
		"$v; $limit", "text()", "comment()", "node()"};
	for (size_t i = 0; i < COUNT(paths); i++)
		expect_refused(paths[i], "");
}

Test(expression, functions_that_look_at_something_else_are_refused)
{
	static const char *const calls[] = {"document('x.xml')", "id('x')", "position() = 1", "last() = 1",
		"count($v) = 1", "sum($v) > 0", "name() = ''", "local-name() = ''", "namespace-uri() = ''",
		"lang('en')", "current()", "system-property('x')", "unknown-function($v)"};
	for (size_t i = 0; i < COUNT(calls); i++)
		expect_refused(calls[i], "are allowed here");
	/* Without an argument these look at the node they are on. */
	static const char *const bare[] = {"string() = 'x'", "normalize-space() = 'x'", "string-length() = 0", "not()"};
	for (size_t i = 0; i < COUNT(bare); i++)
		expect_refused(bare[i], "takes 1 argument, not 0");
	expect_refused("true($a)", "true() takes 0 arguments, not 1");
	expect_refused("contains($w) or $a", "contains() takes 2 arguments, not 1");
	expect_refused("concat($w) = 'x'", "concat() takes 2 or more arguments, not 1");
	expect_refused("not($a, $b)", "not() takes 1 argument, not 2");
	expect_refused("substring($w, 1, 2, 3) = 'x'", "substring() takes 2 to 3 arguments, not 4");
	expect_refused("$a, $b", "a comma is outside a function");
	expect_refused("contains(, $w)", "a value is missing before a comma");
}

Test(expression, unknown_names_are_refused_with_the_nearest)
{
	expect_refused("$limitt > 3", "did you mean $limit?");
	expect_refused("$nothing-alike > 3", "$nothing-alike is no input or constant of this rule");
	expect_refused("$v.5 > 1", "$v is followed by a point: names have none");
	expect_refused("$limit div $v.5 > 1", "$v is followed by a point: names have none");
	expect_refused("known('limitt')", "did you mean $limit?");
	expect_refused("known($v)", "known() takes one name in quotes");
	expect_refused("known(concat('v', ''))", "");
	expect_refused("known('v', 'w')", "known() takes one name in quotes");
	expect_refused("known(vv)", "known() takes one name in quotes");
	expect_refused("known(", "known() takes one name in quotes");
}

Test(expression, what_is_not_xpath_is_refused)
{
	static const char *const broken[] = {"", " ", "$v >", "> 3", "($v", "$v)", "'open", "$v 3", "$v > > 3", "$",
		"$1", "3 3", "1.2.3 > 1", "$v >= = 3", "not($v > 3", "!", "$v ! 3", "and", "$a and", "not(", "floor( ",
		"()", "$v + ", "not($a) and ("};
	for (size_t i = 0; i < COUNT(broken); i++)
		expect_refused(broken[i], "");
}

Test(expression, what_may_stand_is_listed_whole)
{
	expect_refused("line",
		"the functions not boolean true false known contains starts-with string-length floor ceiling "
		"round string concat translate normalize-space substring substring-before "
		"substring-after are allowed here");
	expect_refused("$v beside $limit", "'beside': only variables");
	expect_refused("and $a", "'and': only variables");
	/* What is before the expression is not looked at: a dot that begins it is the context node. */
	expect_refused(&"9. > 3"[1], "paths are refused");
}

/* XPath converts: a word to NaN, for which no comparison holds and every negated one does; 'no' to true. */
Test(expression, what_xpath_would_convert_is_refused)
{
	expect_refused("$w > 3", "a word is used where a number is needed");
	expect_refused("not($w > 3)", "a word is used where a number is needed");
	expect_refused("3 < $w", "a word is used where a number is needed");
	expect_refused("$v < '3'", "a word is used where a number is needed");
	expect_refused("$w + 1 = 2", "a word is used where a number is needed");
	expect_refused("-$w = 2", "a word is used where a number is needed");
	expect_refused("$d > $d", "a word is used where a number is needed");
	expect_refused("$w = 3", "a number is used where a word is needed");
	expect_refused("$v != 'DEA'", "a word is used where a number is needed");
	expect_refused("$a = 'no'", "a word is used where a yes or no is needed");
	expect_refused("$a > 0", "a yes or no is used where a number is needed");
	expect_refused("$w = true()", "a yes or no is used where a word is needed");
	expect_refused("round($w) = 3", "a word is used where a number is needed");
	expect_refused("number($w) > 3", "are allowed here");
	expect_refused("concat($w, 'x') > 3", "a word is used where a number is needed");
	expect_refused("$v div ($limit - 3) > 1", "div and mod take");
	expect_refused("$v mod 0 > 1", "div and mod take");
	expect_refused("$v div -0.5 > 1", "div and mod take");
}

Test(expression, huge_ones_are_refused)
{
	struct text text = text_in(&arena);
	for (int i = 0; i < 500; i++)
		text_add(&text, "$v > 1 and ");
	text_add(&text, "$v > 1");
	expect_refused(text.data, "at most 2000 characters");
	text = text_in(&arena);
	for (int i = 0; i < 900; i++)
		text_add(&text, "(");
	text_add(&text, "$v");
	for (int i = 0; i < 900; i++)
		text_add(&text, ")");
	expect_refused(text.data, "more than 100 parentheses");
}

/* ---- answers ---- */

Test(expression, known_values_are_compared_in_si)
{
	const struct quantity *const values[VARIABLES] = {&two, &three, &yes, &no, &dea, NULL};
	expect("$v < $limit", values, YES);
	expect("$v >= $limit", values, NO);
	expect("$v + 1 = $limit", values, YES);
	expect("$v * 1.5 = $limit", values, YES);
	expect("$limit div $v = 1.5 and $limit mod $v = 1", values, YES);
	expect("$v > .5 and $v > 0.5", values, YES);
	expect("$v<9 and $limit>=3 and $v!=$limit", values, YES);
	expect("$v < 9 and $v < 90.09", values, YES);
	expect("($limit div $v) > 1 and ($limit mod $v) = 1", values, YES);
	expect("$a and not($b)", values, YES);
	expect("$a = $b", values, NO);
	expect("$a != $b", values, YES);
	expect("$w = 'DEA' or $w = \"MEA\"", values, YES);
	expect("$w != 'DEA'", values, NO);
	expect("starts-with($w, 'D') and contains(concat(' ', $w, ' '), ' DEA ')", values, YES);
	expect("string-length($w) = 3", values, YES);
	expect("floor(2.7) = $v and ceiling(2.2) = $limit and round(2.5) = $limit", values, YES);
	expect("($v > 1) = $a", values, YES);
	expect("boolean($b)", values, NO);
	expect("true()", values, YES);
	expect("false()", values, NO);
}

/* A figure that a value is said to be compared with, and the value: the same number, whoever reads it. */
Test(expression, a_value_is_at_most_what_it_is)
{
	static const struct {
		const char *written;
		double si;
	} figures[] = {{"0.1", 0.1}, {".35", 0.35}, {"1.05", 1.05}, {"0.3", 0.1 + 0.2}, {"2.675", 2.675}, {"3.", 3},
		{"353.15", 80 + 273.15}, {"0.017", 0.017}, {"6894.757", 6894.757}, {"0.0000123", 1.23e-5}};
	static const char *const to_libxml2 = " and string-length($w) = 3";
	for (size_t i = 0; i < COUNT(figures); i++)
		for (int path = 0; path < 2; path++) {
			const char *figure = figures[i].written, *more = path ? to_libxml2 : "";
			const struct quantity value = {.known = STATED, .kind = KIND_VELOCITY, .si = figures[i].si};
			const struct quantity *values[VARIABLES] = {
				[V] = &value, [LIMIT] = &two, [A] = &yes, [B] = &no, [W] = &dea, [D] = &unknown};
			expect(arena_format(&arena, "$v <= %s%s", figure, more), values, YES);
			expect(arena_format(&arena, "$v >= %s%s", figure, more), values, YES);
			expect(arena_format(&arena, "$v = %s%s", figure, more), values, YES);
			expect(arena_format(&arena, "not($v < %s)%s", figure, more), values, YES);
			expect(arena_format(&arena, "$v < %s%s", figure, more), values, NO);
			expect(arena_format(&arena, "$v > %s%s", figure, more), values, NO);
			expect(arena_format(&arena, "$v * 1.00000000001 > %s%s", figure, more), values, YES);
		}
}

/* Digits in quotes and in names are no numbers of the expression. */
Test(expression, numbers_get_names_for_libxml2)
{
	static const char *const named[][2] = {{"$v > 0.5", "$v > $n.0.5 "},
		{"$v-1>.5and 3.>$v", "$v-1>$n..5 and $n.3. >$v"},
		{"contains($w, '0.5') or $w = \"7'8\"", "contains($w, '0.5') or $w = \"7'8\""},
		{"known('v') and -1 < 2", "known('v') and -$n.1  < $n.2 "}, {"", ""}};
	for (size_t i = 0; i < COUNT(named); i++) {
		char *given = expression_numbers_named(named[i][0]);
		cr_expect_str_eq(given, named[i][1]);
		free(given);
	}
	double number = 0;
	cr_expect(expression_number_named("n.12.5", &number) && number == 12.5, "%g", number);
	cr_expect(expression_number_named("n..5", &number) && number == 0.5, "%g", number);
	cr_expect_not(expression_number_named("n", &number));
}

Test(expression, an_unknown_number_is_perhaps_in_every_form)
{
	const struct quantity *const nothing[VARIABLES] = {NULL, &three, &yes, &no, &dea, NULL};
	const struct quantity *const reason[VARIABLES] = {&unknown, &three, &yes, &no, &dea, NULL};
	const struct quantity *const bound[VARIABLES] = {&below_two, &three, &yes, &no, &dea, NULL};
	static const char *const forms[] = {"$v < 3", "$v > 3", "not($v > 3)", "not($v < 3)", "$v = 3", "$v != 3",
		"not($v = 3)", "$v - $v = 0", "boolean($v)", "not($v)", "$v", "string($v) = 'NaN'",
		"$v < 3 or not($v < 3)", "$limit > $v or $a"};
	for (size_t i = 0; i < COUNT(forms); i++) {
		expect(forms[i], nothing, PERHAPS);
		expect(forms[i], reason, PERHAPS);
		expect(forms[i], bound, PERHAPS);
	}
}

Test(expression, an_unknown_word_is_perhaps)
{
	const struct quantity *const values[VARIABLES] = {&two, &three, NULL, NULL, NULL, NULL};
	expect("$w = 'DEA'", values, PERHAPS);
	expect("$w != 'DEA'", values, PERHAPS);
	expect("not($w = 'DEA')", values, PERHAPS);
}

/* Two words, the second uncited and unknown; a word is compared as a whole or not tried at all. */
static void expect_of_unknown_word(const char *written, enum truth answer)
{
	static const struct variable words[] = {{"w", KIND_WORD}, {"x", KIND_WORD}, {"y", KIND_WORD}};
	const struct quantity *const values[] = {NULL, NULL, &dea};
	struct expression expression;
	cr_assert(expression_compile(
			  &arena, written, (struct place){.file = "rules.xml"}, words, 3, &problems, &expression),
		"%s", written);
	struct binding binding = {.variables = words, .values = values, .count = 3};
	enum truth given = expression_evaluate(evaluator, &expression, &binding, NULL);
	cr_expect(given == answer, "%s is %s, not %s", written, truth_words[given], truth_words[answer]);
	expression_release(&expression);
}

Test(expression, an_unknown_word_that_is_taken_apart_is_perhaps)
{
	static const char *const forms[] = {"contains($w, 'x')", "not(contains ($w, 'x'))", "starts-with ( $w, 'x')",
		"string-length($w) = 1", "string-length($w) > 0", "concat($w, 'x') = 'ax'", "concat('x', $w) != 'xa'",
		"translate($w, 'a', 'b') = 'b'", "normalize-space($w) = 'a b'", "substring($w, 1, 1) = 'a'",
		"substring-before($w, '-') = 'a'", "substring-after($w, '-') = 'a'"};
	for (size_t i = 0; i < COUNT(forms); i++)
		expect_of_unknown_word(forms[i], PERHAPS);
	expect_of_unknown_word("$w = 'a' or $w != 'a'", YES);
	expect_of_unknown_word("string($w) = 'a' or not($w = 'a')", YES);
	expect_of_unknown_word("$w = 'a' and $w = 'b'", NO);
	expect_of_unknown_word("$w = $y or $w != 'DEA'", YES);
	expect_of_unknown_word("$w != $y or $w != 'MEA'", YES);
	expect_of_unknown_word("$w = $x or $w != $x", PERHAPS); /* two unknown ones */
}

Test(expression, an_unknown_word_is_tried_with_so_many_and_no_longer_ones)
{
	struct text few = text_in(&arena), many = text_in(&arena);
	text_add(&few, "$w != 'a0'");
	for (int i = 1; i < 23; i++)
		text_addf(&few, " or $w = 'a%d'", i);
	text_addf(&many, "%s or $w = 'b' or $w = 'a0'", few.data);
	text_add(&few, " or $w = $w");
	expect_of_unknown_word(few.data, YES);
	expect_of_unknown_word(many.data, PERHAPS); /* met by any word, but not seen to be */
	char word[65];
	memset(word, 'x', 64);
	word[64] = '\0';
	expect_of_unknown_word(arena_format(&arena, "$w = '%s' or $w != '%s'", word, word), PERHAPS);
	word[63] = '\0';
	expect_of_unknown_word(arena_format(&arena, "$w = '%s' or $w != '%s'", word, word), YES);
}

Test(expression, limits_of_size_hold_to_the_last_sign)
{
	const struct quantity *const values[VARIABLES] = {&two, &three, &yes, &no, &dea, NULL};
	expect("$v * 1 * 1 * 1 * 1 * 1 * 1 * 1 * 1 = 2", values, YES);
	expect_refused("$v * 1 * 1 * 1 * 1 * 1 * 1 * 1 * 1 * 1 = 2", "more than 8 multiplications");
	expect("$v div 1 div 1 div 1 div 1 div 1 div 1 div 1 div 1 = 2", values, YES);
	expect_refused("$v div 1 div 1 div 1 div 1 div 1 div 1 div 1 div 1 mod 9 = 2", "more than 8 multiplications");
	expect("$v > 1.00000000000000", values, YES);
	expect_refused("$v > 1.000000000000000", "at most 15 digits");
	struct text text = text_in(&arena);
	text_add(&text, "$v > 1");
	while (text.length < 2000)
		text_add(&text, " ");
	expect(text.data, values, YES);
	text_add(&text, " ");
	expect_refused(text.data, "at most 2000 characters");
	expect_refused("($v > 3", "a parenthesis is not closed");
	expect_refused("$v > ", "it ends where a value is needed");
}

Test(expression, a_zero_divisor_is_perhaps_and_named)
{
	const struct quantity *const values[VARIABLES] = {&zero, &zero, NULL, NULL, NULL, NULL};
	uint32_t missing = 0;
	cr_expect(evaluate("not($v div $limit > 3)", values, &missing) == PERHAPS);
	cr_expect(missing == 1u << LIMIT, "%x", missing);
	expect("not($v mod $limit > 3)", values, PERHAPS);
	expect("$v div 2 = 0", values, YES);
	expect("not($limit div $v > 3)", values, PERHAPS);
	static const struct quantity least = {.known = STATED, .kind = KIND_VELOCITY, .si = 1e-30};
	static const struct quantity more = {.known = STATED, .kind = KIND_VELOCITY, .si = 1.1e-30};
	const struct quantity *const nearly[VARIABLES] = {&least, &three, NULL, NULL, NULL, NULL};
	const struct quantity *const enough[VARIABLES] = {&more, &three, NULL, NULL, NULL, NULL};
	expect("$limit div $v > 3", nearly, PERHAPS);
	expect("$limit div $v > 3", enough, YES);
}

Test(expression, an_unknown_yes_or_no_is_tried_both_ways)
{
	const struct quantity *const values[VARIABLES] = {&two, &three, NULL, NULL, &dea, NULL};
	expect("$a", values, PERHAPS);
	expect("not($a)", values, PERHAPS);
	expect("$a or $v < 3", values, YES);
	expect("$a and $v > 3", values, NO);
	expect("$a or not($a)", values, YES);
	expect("$a and not($a)", values, NO);
	expect("$a and $b", values, PERHAPS);
	expect("($a and $b) or not($a and $b)", values, YES);
	/* Mixed with an unknown number it is not tried. */
	const struct quantity *const mixed[VARIABLES] = {NULL, &three, NULL, NULL, &dea, NULL};
	expect("$a or $v < 3", mixed, PERHAPS);
}

/* Whatever the word is: found out by every word it is compared with, and by one that is none of them. */
Test(expression, an_unknown_word_is_tried_with_every_word_that_counts)
{
	const struct quantity *const values[VARIABLES] = {&two, &three, NULL, &no, NULL, NULL};
	expect("$w = 'DEA'", values, PERHAPS);
	expect("$w != 'DEA' and $v > 3", values, NO);
	expect("$w != 'DEA' or $v < 3", values, YES);
	expect("$w != 'DEA' or $w != \"MEA\"", values, YES);
	expect("$w = 'DEA' and $w = 'MEA'", values, NO);
	expect("$w = 'DEA' or $w = 'MEA'", values, PERHAPS);
	expect("$w != 'DEA' and $b", values, NO);
	expect("($w = 'DEA' and $a) or not($a) or $w != 'DEA'", values, YES);
	expect("($w = 'DEA' and $a) or $b", values, PERHAPS);
	expect("starts-with($w, 'D') or $v < 3", values, PERHAPS); /* not only compared */
	expect("contains($w, 'D') or $v < 3", values, PERHAPS);
	expect("known('w') or $w = 'DEA' or $w != 'DEA'", values, YES);
	const struct quantity *const number_too[VARIABLES] = {NULL, &three, NULL, &no, NULL, NULL};
	expect("$w != 'DEA' and $v > 3", number_too, PERHAPS);
}

/* Four unknown answers that are not side by side among the variables; a fifth; a number and a word between them. */
static const struct variable scattered[] = {{"p", KIND_YES_NO}, {"Az_aZ-09", KIND_VELOCITY}, {"q", KIND_YES_NO},
	{"w", KIND_WORD}, {"r", KIND_YES_NO}, {"s", KIND_YES_NO}, {"t", KIND_YES_NO}};
enum { SCATTERED = COUNT(scattered) };

static void expect_of_scattered(const char *written, enum truth answer, uint32_t missing)
{
	const struct quantity *const values[SCATTERED] = {[1] = &two, [3] = &dea};
	struct expression expression;
	cr_assert(expression_compile(
		&arena, written, (struct place){.file = "rules.xml"}, scattered, SCATTERED, &problems, &expression));
	struct binding binding = {.variables = scattered, .values = values, .count = SCATTERED};
	uint32_t told = 0;
	enum truth given = expression_evaluate(evaluator, &expression, &binding, &told);
	cr_expect(given == answer, "%s is %s, not %s", written, truth_words[given], truth_words[answer]);
	cr_expect_eq(told, missing, "%s: %x", written, told);
	expression_release(&expression);
}

Test(expression, every_combination_of_unknown_answers_is_tried)
{
	expect_of_scattered("$p = $q", PERHAPS, 1u << 0 | 1u << 2);
	expect_of_scattered("$p != $s", PERHAPS, 1u << 0 | 1u << 5);
	expect_of_scattered("not($p) or not($q) or not($r) or $p", YES, 0);
	expect_of_scattered(
		"($p and not($q) and $r and not($s)) or $Az_aZ-09 > 3", PERHAPS, 1u << 0 | 1u << 2 | 1u << 4 | 1u << 5);
	expect_of_scattered("$p and $q and $r and $s and not($s)", NO, 0);
	/* Five are too many to try. */
	expect_of_scattered(
		"$p and $q and $r and $s and $t and not($t)", PERHAPS, 1u << 0 | 1u << 2 | 1u << 4 | 1u << 5 | 1u << 6);
	expect_of_scattered("$Az_aZ-09 = 2", YES, 0);
}

Test(expression, a_name_is_looked_for_among_so_many)
{
	cr_expect_eq(variable_index(scattered, SCATTERED, "t"), SCATTERED - 1);
	cr_expect_eq(variable_index(scattered, SCATTERED - 1, "t"), -1);
	cr_expect_eq(variable_index(scattered, 0, "p"), -1);
}

Test(expression, what_is_missing_is_told_only_where_it_matters)
{
	const struct quantity *const values[VARIABLES] = {NULL, &three, NULL, &no, &dea, NULL};
	uint32_t missing = 0;
	cr_expect(evaluate("$v < $limit", values, &missing) == PERHAPS && missing == 1u << V);
	missing = 0;
	cr_expect(evaluate("$a or $limit > 2", values, &missing) == YES && missing == 0);
	missing = 0;
	cr_expect(evaluate("$a and $limit > 2", values, &missing) == PERHAPS && missing == 1u << A);
}

Test(expression, known_tells_what_is_known_be_it_a_bound)
{
	const struct quantity *const values[VARIABLES] = {NULL, &three, &yes, NULL, &dea, NULL};
	expect("known('v')", values, NO);
	expect("not(known('v'))", values, YES);
	expect("known('limit') and known('w') and known( \"a\" )", values, YES);
	const struct quantity *const others[VARIABLES] = {&unknown, &below_two, NULL, NULL, NULL, NULL};
	expect("known('v')", others, NO);
	expect("known('limit')", others, YES);
}

Test(expression, what_has_to_be_known_is_noted_unless_one_has_to_be_unknown)
{
	static const struct {
		const char *written;
		uint32_t asks_for;
	} rows[] = {
		{"$v > $limit", 0},
		{"known('v')", 1 << V},
		{"known('limit') and $a or known('v')", 1 << V | 1 << LIMIT},
		{"not(known('v'))", 0},
		{"known('v') and not($a and known('limit'))", 0},
		{"(not($a)) and known('v')", 1 << V},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct expression expression;
		cr_assert(compile(rows[i].written, &expression), "%s", rows[i].written);
		cr_expect_eq(expression.asks_for, rows[i].asks_for, "%s", rows[i].written);
		expression_release(&expression);
	}
}

Test(expression, three_valued_and_or)
{
	static const enum truth both[3][3] = {{NO, NO, NO}, {NO, YES, PERHAPS}, {NO, PERHAPS, PERHAPS}};
	static const enum truth either[3][3] = {{NO, YES, PERHAPS}, {YES, YES, YES}, {PERHAPS, YES, PERHAPS}};
	for (enum truth a = NO; a <= PERHAPS; a++)
		for (enum truth b = NO; b <= PERHAPS; b++) {
			cr_expect(truth_and(a, b) == both[a][b]);
			cr_expect(truth_or(a, b) == either[a][b]);
		}
}

/* One evaluator serves any number of expressions: the count of operations starts anew each time. */
Test(expression, an_evaluator_does_not_tire)
{
	const struct quantity *const values[VARIABLES] = {&two, &three, &yes, &no, &dea, NULL};
	struct expression expression;
	cr_assert(compile("$v < $limit and contains($w, 'E')", &expression));
	struct binding binding = {.variables = variables, .values = values, .count = VARIABLES};
	for (int i = 0; i < 20000; i++)
		cr_assert(expression_evaluate(evaluator, &expression, &binding, NULL) == YES, "at %d", i);
	expression_release(&expression);
}
