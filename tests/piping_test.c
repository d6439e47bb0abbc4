/*
 * The graph of what is connected with what: what a flood from one item reaches, of small units and of the shipped one that is sound.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "resolve/piping.h"
#include "review_support.h"

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(piping, .init = begin, .fini = end);

/* The tags reached from an item, in the order of the description, with a space before each. */
static const char *reached_from(const char *tag, enum piping_end end, unsigned passes)
{
	struct piping piping = piping_of(&trial.arena, trial.table);
	size_t start = piping_find(&piping, table_find(trial.table, tag), end);
	cr_assert(start != NO_NODE, "%s is not connected", tag);
	const bool *reached = piping_flood(&trial.arena, &piping, start, passes);
	const char *words = "";
	for (size_t i = 0; i < table_item_count(trial.table); i++) {
		const struct item *item = table_item(trial.table, i);
		for (size_t k = 0; k < piping.node_count; k++)
			if (reached[k] && k != start && piping.nodes[k].item == item)
				words = arena_format(&trial.arena, "%s %s%s", words, item->tag,
					piping.nodes[k].end == PIPING_SUCTION		  ? "<"
						: piping.nodes[k].end == PIPING_DISCHARGE ? ">"
											  : "");
	}
	return words;
}

Test(piping, the_sound_unit_as_it_is_piped)
{
	trial_review_file(&trial, "designs/saltmarsh-lea.xml");
	cr_assert_not_null(trial.table);
	cr_expect_str_eq(reached_from("4-P-4101", PIPING_WHOLE, 0), " C-401");
	cr_expect_str_eq(reached_from("4-P-4102", PIPING_WHOLE, 0), " V-402 E-402 tube side 6-P-4103");
	cr_expect_str_eq(reached_from("6-P-4105", PIPING_WHOLE, 0), " E-402 shell side C-402 P-403< 6-P-4104");
	cr_expect_str_eq(reached_from("P-403", PIPING_DISCHARGE, 0), " C-401 E-403 tube side F-401 V-404 4-P-4106");
	cr_expect_str_eq(reached_from("10-P-4107", PIPING_WHOLE, 0), " C-402 E-404 tube side V-403");
	cr_expect_str_eq(reached_from("E-405", PIPING_WHOLE, 0), " C-402");
}

Test(piping, headers_pumps_and_valves_of_a_larger_unit)
{
	trial_review_file(&trial, "designs/tern-quay.xml");
	cr_assert_not_null(trial.table);
	cr_expect_str_eq(reached_from("4-P-3102", PIPING_WHOLE, 0), " C-301");
	cr_expect_str_eq(reached_from("4-P-3103", PIPING_WHOLE, 0), " C-303 V-305");
	cr_expect_str_eq(reached_from("2-P-3104", PIPING_WHOLE, 0), " T-304");
	cr_expect_str_eq(reached_from("6-P-3107", PIPING_WHOLE, 0), " V-305 E-302 tube side 6-P-3106");
	cr_expect_str_eq(reached_from("8-P-3108", PIPING_WHOLE, 0), " C-302");
	cr_expect_str_eq(reached_from("P-303", PIPING_DISCHARGE, 0),
		" lean-header T-304 P-304< E-306 shell side F-310 V-311 X-314 4-P-3122 2-P-3126");
	cr_expect_str_eq(reached_from("P-304", PIPING_SUCTION, 0),
		" lean-header T-304 P-303> E-306 shell side F-310 V-311 X-314 4-P-3122 2-P-3126");
	cr_expect_str_eq(reached_from("P-304", PIPING_DISCHARGE, 0), " C-301 4-P-3124");
	cr_expect_str_eq(reached_from("3-P-3125", PIPING_WHOLE, 0), " C-303");
	cr_expect_str_eq(reached_from("12-P-3130", PIPING_WHOLE, 0), " C-302 E-308 tube side V-309");
	cr_expect_str_eq(reached_from("2-P-3131", PIPING_WHOLE, PASS_PERHAPS), " C-302 V-309 P-309< P-309>");
	cr_expect_str_eq(reached_from("20-P-3132", PIPING_WHOLE, 0), " C-302 E-307");
	cr_expect_str_eq(reached_from("6-P-3121", PIPING_WHOLE, 0), " E-302 shell side C-302 P-303< 6-P-3120");
}
