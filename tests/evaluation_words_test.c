/*
 * What a finding says: whom it asks for what, how its message is filled, what a value is given as. Rules of the test's own; all
 * numbers are invented.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "judge/evaluation.h"
#include "judge/judge.h"
#include "judge/wording.h"
#include "evaluation_support.h"

/* ---- who is asked for what ---- */

Test(evaluation, the_item_that_lacks_a_value_is_asked_for_it)
{
	static const char rule[] = OPEN("judged='v'") "<select kind='line'/>" VELOCITY AT_MOST_TWO TAIL;
	const struct finding *found = of_design(rule,
		UNIT("",
			"<solvent amine='MDEA' strength='40 wt%'/><stream id='S-7' service='lean'/><line tag='P-1' "
			"stream='S-7' size='NPS 4' schedule='40'/>"),
		"P-1");
	cr_assert_not_null(found);
	cr_assert(found->verdict == VERDICT_NOT_JUDGED && found->missing_count >= 1, "%s", found->message);
	for (size_t i = 0; i < found->missing_count; i++) {
		cr_assert_not_null(found->missing[i].item);
		cr_expect_str_eq(found->missing[i].item->tag, "S-7", "%s", found->missing[i].reason);
		cr_expect(strncmp(found->missing[i].reason, found->missing[i].quantity,
				  strlen(found->missing[i].quantity)) == 0,
			"%s: %s", found->missing[i].quantity, found->missing[i].reason);
	}
}

Test(evaluation, each_reason_is_told_once_however_many_there_are)
{
	struct arena arena = {0};
	static const char *const names[] = {"traced", "pwht", "insulated", "seamless", "normalised", "calcium-treated",
		"hic-tested", "sees-lean", "external-coating", "steamed-out", "vacuum", "socket-welds",
		"dissimilar-welds", "cracks-found", "pwht-covers-all", "heat-treated-after-forming",
		"bake-out-before-welding", "washed-before-steam-out", "pwht-lower-temperature-option"};
	enum { NAMES = COUNT(names) };
	const char *inputs = "", *test = "";
	for (size_t i = 0; i < NAMES; i++) {
		inputs = arena_format(
			&arena, "%s<input name='%s' quantity='%s' kind='yes-no'/>", inputs, names[i], names[i]);
		test = arena_format(&arena, "%s%s$%s", test, i ? " and " : "", names[i]);
	}
	/* Twice asked for is told once. */
	const char *rule = arena_format(
		&arena, OPEN("") "<select kind='line'/>%s<assert test='%s'/><met-if test='$pwht'/>" TAIL, inputs, test);
	const struct finding *found = of_design(rule, UNIT("", "<line tag='P-1'/>"), "P-1");
	cr_assert(found && found->verdict == VERDICT_NOT_JUDGED);
	cr_expect_eq(found->missing_count, NAMES, "%s", found->message);
	for (size_t i = 0; i < found->missing_count; i++)
		for (size_t k = 0; k < i; k++)
			cr_expect_str_neq(found->missing[i].reason, found->missing[k].reason);
	arena_release(&arena);

	enum { MANY = 200 };
	const struct judge_context context = {.arena = &arena};
	struct evaluation evaluation = {.context = &context};
	for (size_t i = 0; i < MANY; i++)
		evaluation_note_missing(&evaluation, NULL, "x", arena_format(&arena, "reason %zu", i));
	cr_assert_eq(evaluation.missing_count, MANY);
	evaluation_note_missing(&evaluation, NULL, "x", "reason 0");
	cr_expect_eq(evaluation.missing_count, MANY);
	for (size_t i = 0; i < MANY; i++)
		cr_expect_str_eq(evaluation.missing[i].reason, arena_format(&arena, "reason %zu", i));
	arena_release(&arena);
}

Test(evaluation, what_could_have_met_a_rule_is_asked_for_only_where_it_is_open)
{
	static const char rule[] = OPEN(
		"judged='h'") "<select kind='line'/><input name='h' quantity='hardness-weld' kind='hardness-brinell'/>"
			      "<input name='t' quantity='traced' kind='yes-no'/>"
			      "<input name='p' quantity='pwht' kind='yes-no'/>"
			      "<met-if test='$t'/><met-if test='$p'/>"
			      "<limit at-most='200 HBW' source='read' known='read'/>" TAIL;
	static const struct {
		const char *line;
		enum verdict verdict;
		size_t missing;
	} rows[] = {
		{"<line tag='P-1' hardness-weld='240 HBW'/>", VERDICT_NOT_JUDGED, 2},
		{"<line tag='P-1' hardness-weld='240 HBW' traced='no'/>", VERDICT_NOT_JUDGED, 1},
		{"<line tag='P-1' hardness-weld='240 HBW' traced='no' pwht='no'/>", VERDICT_DEPARTS, 0},
		{"<line tag='P-1' hardness-weld='240 HBW' traced='no' pwht='yes'/>", VERDICT_MEETS, 0},
		{"<line tag='P-1' pwht='yes'/>", VERDICT_MEETS, 0},
		{"<line tag='P-1' traced='no' pwht='no'/>", VERDICT_NOT_JUDGED, 1},
		{"<line tag='P-1'/>", VERDICT_NOT_JUDGED, 3},
		{"<line tag='P-1' hardness-weld='180 HBW'/>", VERDICT_MEETS, 0},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		const struct finding *found =
			of_design(rule, arena_format(&arena, UNIT("", "%s"), rows[i].line), "P-1");
		cr_expect(found->verdict == rows[i].verdict && found->missing_count == rows[i].missing,
			"%s: %s, %u missing", rows[i].line, verdict_word(found->verdict), found->missing_count);
		arena_release(&arena);
	}
}

/* ---- messages ---- */

Test(evaluation, places_of_a_message_are_filled)
{
	static const char rule[] = OPEN(
		"judged='v'") "<select kind='line'/>" VELOCITY AT_MOST_TWO
			      "<message>{item}, a {kind}, in {case}: {v} is {value}; {limit}, {limit-value}.</message>"
			      "<why>w</why><remedy>{size-that-meets} for {item}</remedy></rule>";
	const struct finding *found = of_design(rule, IN_SUMMER("3 m/s"), "P-1");
	cr_expect_str_eq(found->message,
		"P-1, a line, in summer: 3 m/s (9.843 ft/s) is 3 m/s (9.843 ft/s); at most 2 m/s (6.562 ft/s), "
		"2 m/s (6.562 ft/s).",
		"%s", found->message);
	cr_expect_str_eq(found->remedy, "a larger bore for P-1");
	found = of_design(rule, OF_THREE("<line tag='P-1' velocity='3 m/s' size='NPS 4' schedule='40'/>"), "P-1");
	cr_expect(strstr(found->message, "in every case") != NULL, "%s", found->message);
	/* NPS 4 schedule 40 is 102.26 mm wide, NPS 6 154.08 mm (ASME B36.10M, 2018); NPS 5 is not offered, since it is uncommon. */
	cr_expect_str_eq(found->remedy, "NPS 6 schedule 40 (brings 1.321 m/s) for P-1", "%s", found->remedy);
	found = of_design(rule, OF_THREE("<line tag='P-1' velocity='3 m/s' schedule='40'/>"), "P-1");
	cr_expect_str_eq(found->remedy, "a larger bore for P-1", "of a bore that is not known: %s", found->remedy);
	found = of_design(rule, OF_THREE("<line tag='P-1'/>"), "P-1");
	cr_expect_str_eq(found->message,
		"Title: not judged, since flow of P-1 is not stated; density of P-1 is not stated; size or bore of P-1 "
		"is not stated",
		"%s", found->message);
	found = of_design(rule, OF_THREE("<line tag='P-1' velocity='1 m/s'/>"), "P-1");
	cr_expect_str_eq(
		found->message, "Title: meets; 1 m/s (3.281 ft/s), at most 2 m/s (6.562 ft/s)", "%s", found->message);
}

#define SAYS(message, remedy)                                                                                          \
	OPEN("")                                                                                                       \
	"<select kind='line'/>" TRACED("") PWHT("") VELOCITY                                                           \
		"<assert test='$t'/><message>" message "</message><why>w</why><remedy>" remedy "</remedy></rule>"

Test(evaluation, what_is_not_known_is_left_out_of_a_message)
{
	static const struct {
		const char *rule, *message, *remedy;
	} rows[] = {
		{SAYS("{item}: {t}[, at {v}][, held to {limit}].", "Trace [with {v}]{item}."), "P-1: no.",
			"Trace P-1."},
		{SAYS("{item} has {value}. It is {t}. So much [for {p}] [as is [known]].", "{v}"),
			"It is no. So much  [as is [known]].", "Answer for P-1: Title."},
		{SAYS("{value}[{t}] {limit-value}", "{size-that-meets}"), "Title: P-1 departs.", "a larger bore"},
		{SAYS("{item}[ of {v}. And {p}] is open. ", "{p}. Trace {item}. [{v}]"), "P-1 is open.", "Trace P-1."},
		{SAYS("[a] {item} [{t}] [b", "]{t}["), "[a] P-1 no [b", "]no["},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct finding *found = of_design(
			rows[i].rule, UNIT("", "<line tag='P-1' traced='no' size='NPS 4' schedule='40'/>"), "P-1");
		cr_assert(found && found->verdict == VERDICT_DEPARTS);
		cr_expect_str_eq(found->message, rows[i].message, "%s", found->message);
		cr_expect_str_eq(found->remedy, rows[i].remedy, "%s", found->remedy);
	}
}

Test(evaluation, how_a_limit_is_known_is_told_with_what_bears_on_it)
{
	const struct source named = {.named = true}, unnamed = {.named = false};
	const struct {
		struct limit limit;
		const char *words;
	} rows[] = {
		{{.reading = READING_READ, .confidence = "high", .source = &named}, "read"},
		{{.reading = READING_READ, .confidence = "", .source = &named}, "read"},
		{{.reading = READING_READ, .confidence = "medium", .source = &named}, "read; confidence medium"},
		{{.reading = READING_COMMON_PRACTICE, .confidence = "", .source = NULL}, "common practice, no source"},
		{{.reading = READING_MEMORY, .confidence = "low", .source = &unnamed},
			"from memory: check against a licensed copy; unnamed source, never firm alone; confidence low"},
		{{.reading = READING_SECONDARY, .confidence = "high", .source = &unnamed},
			"secondary: a digest or quotation was read, not the original; unnamed source, never firm "
			"alone"},
	};
	struct arena arena = {0};
	for (size_t i = 0; i < COUNT(rows); i++)
		cr_expect_str_eq(wording_reading(&arena, &rows[i].limit), rows[i].words);
	arena_release(&arena);
}

Test(evaluation, a_constant_is_told_with_its_source_and_how_it_is_known)
{
	struct arena arena = {0};
	const struct source practice = {.key = "common-practice"};
	const struct source book = {
		.key = "book", .title = "A Book", .author = "Author", .year = "1990", .edition = "2nd"};
	const struct source leaflet = {.key = "leaflet", .title = "A Leaflet", .author = "", .year = "", .edition = ""};
	const struct quantity hot = {.known = STATED, .kind = KIND_TEMPERATURE, .si = 353.15, .written = "80 degC"};
	const struct rule_input of_practice = {
		.constant = &hot, .source = &practice, .clause = "hot lean begins", .reading = READING_COMMON_PRACTICE};
	const struct rule_input of_book = {.constant = &hot, .source = &book, .clause = "", .reading = READING_READ};
	const struct rule_input of_leaflet = {
		.constant = &hot, .source = &leaflet, .clause = "table 1", .reading = READING_SECONDARY};
	cr_expect_str_eq(wording_constant(&arena, &of_practice),
		"80 degC (176 degF) (common practice, no source; hot lean begins)");
	cr_expect_str_eq(wording_constant(&arena, &of_book), "80 degC (176 degF) (Author 1990, 2nd; read)");
	cr_expect_str_eq(wording_constant(&arena, &of_leaflet), "80 degC (176 degF) (A Leaflet; table 1; secondary)");
	arena_release(&arena);
}

/* ---- what a value is given as ---- */

Test(evaluation, words_and_texts_are_taken_for_each_other_and_nothing_else)
{
	static const struct {
		const char *kind, *quantity, *line;
		enum verdict verdict;
	} rows[] = {
		{"word", "data", "<line tag='P-1' data='x'/>", VERDICT_MEETS},
		{"text", "service", "<line tag='P-1' service='rich'/>", VERDICT_MEETS},
		{"word", "traced", "<line tag='P-1' traced='yes'/>", VERDICT_NOT_JUDGED},
		{"yes-no", "service", "<line tag='P-1' service='rich'/>", VERDICT_NOT_JUDGED},
		{"word", "velocity", "<line tag='P-1' velocity='1 m/s'/>", VERDICT_NOT_JUDGED},
		{"velocity", "service", "<line tag='P-1' service='rich'/>", VERDICT_NOT_JUDGED},
		{"temperature|velocity", "velocity", "<line tag='P-1' velocity='1 m/s'/>", VERDICT_MEETS},
		{"pressure-difference", "pressure", "<line tag='P-1' pressure='1 bara'/>",
			VERDICT_MEETS}, /* both in Pa */
		{"temperature", "velocity", "<line tag='P-1' velocity='1 m/s'/>", VERDICT_NOT_JUDGED},
		{"velocity", "temperature", "<line tag='P-1' temperature='60 degC'/>", VERDICT_NOT_JUDGED},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		const struct finding *found =
			of_design(arena_format(&arena,
					  OPEN("") "<select kind='line'/><input name='x' quantity='%s' "
						   "kind='%s'/><assert test='%s'/>" TAIL,
					  rows[i].quantity, rows[i].kind,
					  strcmp(rows[i].kind, "yes-no") == 0	      ? "$x or not($x) and known(\"x\")"
						  : strstr("word text", rows[i].kind) ? "$x != \"nothing\""
										      : "$x &gt; 0"),
				arena_format(&arena, UNIT("", "%s"), rows[i].line), "P-1");
		cr_assert_not_null(found);
		cr_expect(found->verdict == rows[i].verdict, "%s as %s: %s", rows[i].quantity, rows[i].kind,
			found->message);
		cr_expect(found->verdict == VERDICT_MEETS || strstr(found->message, "which TST-001 cannot use"), "%s",
			found->message);
		arena_release(&arena);
	}
}

/* ---- the words of a request ---- */

Test(evaluation, a_reason_that_names_a_value_of_an_item_asks_that_item)
{
	of_design(OF_LINES, UNIT("", "<line tag='P-1'/><tank tag='T-304'/>"), "P-1");
	const struct item *line = table_find(trial.table, "P-1"), *tank = table_find(trial.table, "T-304");
	const struct {
		struct missing missing;
		const char *quantity;
		const struct item *item;
	} rows[] = {
		{item_lacks(&trial.arena, tank, "steamed-out"), "steamed-out", tank},
		{{NULL, "h2s", "h2s of the feed gases is not stated"}, "h2s", line}, /* no item in particular */
		{{.reason = "nobody knows"}, "velocity", line},
		{{.reason = "steamed-out of T-304 is not stated"}, "velocity",
			line}, /* words alone are not looked into */
		{{.reason = "pwht of T-304 is owed: stated as t.b.d."}, "velocity", line},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct judge_context context = {
			.arena = &trial.arena, .catalogue = trial.catalogue, .table = trial.table};
		struct evaluation evaluation = {
			.context = &context, .rule = &trial.catalogue->rules[0], .item = line, .unknown = 1};
		evaluation.holders[0] = line;
		evaluation.values[0] = quantity_lacking(&trial.arena, KIND_VELOCITY, rows[i].missing);
		evaluation_note_unknown(&evaluation);
		cr_assert_eq(evaluation.missing_count, 1);
		cr_expect(evaluation.missing[0].item == rows[i].item, "%s: %s", rows[i].missing.reason,
			evaluation.missing[0].item->tag);
		cr_expect_str_eq(evaluation.missing[0].quantity, rows[i].quantity, "%s: %s", rows[i].missing.reason,
			evaluation.missing[0].quantity);
		cr_expect_str_eq(evaluation.missing[0].reason, rows[i].missing.reason);
	}
}

/* Of the inputs of a computed value those are asked for that nobody stated, not those assumed or stated as a plain bound. */
Test(evaluation, the_roots_of_a_computed_value_are_those_nobody_stated)
{
	of_design(OF_LINES, UNIT("", "<line tag='P-1'/>"), "P-1");
	struct arena *arena = &trial.arena;
	struct quantity bound = {
		.known = STATED, .kind = KIND_VELOCITY, .si = 2, .bound = BOUND_BELOW, .uncertainty = -1};
	struct quantity computed_bound = {.known = COMPUTED,
		.kind = KIND_VELOCITY,
		.si = 2,
		.bound = BOUND_BELOW,
		.reason = "density of P-1 is not stated"};
	const struct input inputs[] = {
		{.name = "assumed",
			.quantity = quantity_assumed(arena, KIND_VELOCITY, 1, 0, "assumed of P-1 is not stated")},
		{.name = "known", .quantity = quantity_constant(arena, KIND_VELOCITY, 1, "")},
		{.name = "flow of P-1",
			.quantity = quantity_unknown(arena, KIND_VELOCITY, "flow of P-1 is not stated")},
		{.name = "bound of P-1", .quantity = &bound},
		{.name = "density of P-1", .quantity = &computed_bound},
		{.name = "nothing"},
	};
	struct quantity unknown = {.known = UNKNOWN,
		.kind = KIND_VELOCITY,
		.reason = "cannot be calculated",
		.inputs = inputs,
		.input_count = COUNT(inputs)};
	struct judge_context context = {.arena = arena, .catalogue = trial.catalogue, .table = trial.table};
	struct evaluation evaluation = {.context = &context,
		.rule = &trial.catalogue->rules[0],
		.item = table_find(trial.table, "P-1"),
		.unknown = 1};
	evaluation.values[0] = &unknown;
	evaluation_note_unknown(&evaluation);
	cr_assert_eq(evaluation.missing_count, 2, "%zu", evaluation.missing_count);
	cr_expect_str_eq(evaluation.missing[0].reason, "flow of P-1 is not stated");
	cr_expect_str_eq(evaluation.missing[1].reason, "density of P-1 is not stated");
	/* A bound without a reason, or a zero to be divided by, is told as it is. */
	evaluation = (struct evaluation){.context = &context,
		.rule = &trial.catalogue->rules[0],
		.item = table_find(trial.table, "P-1"),
		.unknown = 1};
	evaluation.values[0] = &bound;
	evaluation_note_unknown(&evaluation);
	cr_assert_eq(evaluation.missing_count, 1);
	cr_expect_str_eq(evaluation.missing[0].reason,
		"velocity of P-1 is given only as a bound, < 2.00 m/s (< 6.562 ft/s)", "%s",
		evaluation.missing[0].reason);
}

/* What nobody can state is asked for in the words of the rule. */
Test(evaluation, a_value_that_is_only_worked_out_is_asked_for_in_words)
{
	static const char rule[] =
		OPEN("judged='x'") "<select kind='absorber'/><input name='x' quantity='%s' kind='ratio' %s/>"
				   "<limit at-most='1' source='read' known='read'/>" TAIL;
	static const struct {
		const char *quantity, *as, *reason, *asked;
	} rows[] = {
		{"h2s-specification-used", "as='what it takes'", "not stated for C-1: what it takes", "what it takes"},
		{"h2s-specification-used", "",
			"share of the H2S specification used of C-1 is not known; it follows from "
			"pressure of the gas, bound amine of the solvent, strength of the solvent, H2S of the "
			"specification, CO2 of the stream, H2S of the stream, temperature of the stream, top "
			"temperature",
			"h2s-specification-used"},
		{"stages", "as='what it takes'", "stages of C-1 is not stated", "stages"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		struct table *table;
		trial_open_with(&trial, arena_format(&arena, rule, rows[i].quantity, rows[i].as), NULL);
		static const struct operating_case normal = {.id = "normal", .title = "normal"};
		table = table_new(&trial.arena, &normal, 1);
		table_add_item(table, (struct item){.kind = "absorber", .tag = "C-1", .text = ""});
		struct judgement judgement = judge(&trial.arena, trial.catalogue, table, EVERY_CASE);
		cr_assert(judgement.count == 1 && judgement.findings[0].missing_count == 1);
		cr_expect_str_eq(judgement.findings[0].missing[0].reason, rows[i].reason, "%s",
			judgement.findings[0].missing[0].reason);
		cr_expect_str_eq(judgement.findings[0].missing[0].quantity, rows[i].asked);
		arena_release(&arena);
	}
}
