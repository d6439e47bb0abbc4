#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "resolve/pipe.h"

static struct arena arena;
static struct problems problems;
static const struct place place = {"design.xml", 3, 7};

static void begin(void)
{
	arena = (struct arena){0};
	problems = (struct problems){.arena = &arena};
}

static void end(void)
{
	arena_release(&arena);
}

TestSuite(pipe, .init = begin, .fini = end);

static bool same(double a, double b)
{
	return fabs(a - b) < 1e-9;
}

/* Outside diameter and wall in mm: ASME B36.10M-2018 and B36.19M-2018, from memory; bore by subtraction. */
Test(pipe, dimensions)
{
	static const struct {
		const char *size, *schedule;
		double outside_mm, wall_mm;
	} rows[] = {
		{"NPS 1/2", "XXS", 21.3, 7.47},
		{"NPS 2", "80", 60.3, 5.54},
		{"NPS 3", "160", 88.9, 11.13},
		{"NPS 6", "40", 168.3, 7.11},
		{"NPS 6", "10S", 168.3, 3.40},
		{"NPS 8", "40", 219.1, 8.18},
		{"NPS 10", "STD", 273.0, 9.27},
		{"NPS 12", "40", 323.8, 10.31},
		{"NPS 12", "STD", 323.8, 9.53},
		{"NPS 12", "40S", 323.8, 9.53},
		{"NPS 24", "XS", 610, 12.70},
		{"NPS 36", "STD", 914, 9.53},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct pipe pipe;
		cr_assert(pipe_find(rows[i].size, rows[i].schedule, &pipe), "%s", rows[i].size);
		cr_expect(same(pipe.outside, rows[i].outside_mm / 1e3), "%s %g", rows[i].size, pipe.outside);
		cr_expect(same(pipe.wall, rows[i].wall_mm / 1e3), "%s %g", rows[i].size, pipe.wall);
		cr_expect(same(pipe.bore, (rows[i].outside_mm - 2 * rows[i].wall_mm) / 1e3));
	}
}

Test(pipe, reads_sizes)
{
	static const struct {
		const char *written, *size;
	} rows[] = {
		{"NPS 6", "NPS 6"},
		{"nps6", "NPS 6"},
		{"6\"", "NPS 6"},
		{"6 in", "NPS 6"},
		{"6 inch", "NPS 6"},
		{"NPS 6 in", "NPS 6"},
		{"DN150", "NPS 6"},
		{" DN 150 ", "NPS 6"},
		{"dn 65", "NPS 2-1/2"},
		{"NPS 1-1/2", "NPS 1-1/2"},
		{"1 1/2 in", "NPS 1-1/2"},
		{"1.5\"", "NPS 1-1/2"},
		{"1.50 in", "NPS 1-1/2"},
		{"3/4\"", "NPS 3/4"},
		{"NPS 0.75", "NPS 3/4"},
		{"DN 900", "NPS 36"},
		{"DN 15", "NPS 1/2"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *size = pipe_size_parse(rows[i].written, place, &problems);
		cr_assert_not_null(size, "%s", rows[i].written);
		cr_expect_str_eq(size, rows[i].size, "%s", rows[i].written);
	}
	cr_expect_eq(problems.count, 0);
}

Test(pipe, refuses_sizes)
{
	static const struct {
		const char *written, *says;
	} rows[] = {
		{"NPS 7", "nearest: NPS 6, NPS 8"},
		{"DN 175", "nearest: DN 150, DN 200"},
		{"NPS 48", "nearest: NPS 36"},
		{"DN 10", "nearest: DN 15"},
		{"6", "write NPS 6 or DN 150"},
		{"150", "write NPS 6 or DN 150"},
		{"", "DN 150"},
		{"abc", "DN 150"},
		{"NPS", "DN 150"},
		{"NPS 1/0", "DN 150"},
		{"NPS -6", "DN 150"},
		{"8-P-3107", "DN 150"},
		{"NPS 6 x", "DN 150"},
		{"DN 150.5", "DN 150"},
		{"NPS 9999999999999999999", "DN 150"},
		{"6 mm", "DN 150"},
		{"NPS 1-", "DN 150"},
		{"NPS 1-1/", "DN 150"},
		{"NPS 1.", "DN 150"},
		{"NPS \xff", "DN 150"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		cr_expect_null(pipe_size_parse(rows[i].written, place, &problems), "%s", rows[i].written);
		cr_assert_eq(problems.count, i + 1);
		cr_expect_eq(problems.rows[i].code, PROBLEM_NOT_A_SIZE);
		cr_expect_not_null(strstr(problems.rows[i].message, rows[i].says), "%s", problems.rows[i].message);
	}
}

Test(pipe, reads_schedules)
{
	static const struct {
		const char *written, *schedule;
	} rows[] = {{"40", "40"}, {"Sch 40", "40"}, {"SCH40S", "40S"}, {"sch. 80", "80"}, {"schedule 160", "160"},
		{"std", "STD"}, {"xs", "XS"}, {" XXS ", "XXS"}};
	for (size_t i = 0; i < COUNT(rows); i++)
		cr_expect_str_eq(pipe_schedule_parse(rows[i].written, place, &problems), rows[i].schedule);
	static const char *const wrong[] = {"45", "", "40 S", "XH", "Sch", "S40", "heavy"};
	for (size_t i = 0; i < COUNT(wrong); i++) {
		cr_expect_null(pipe_schedule_parse(wrong[i], place, &problems), "%s", wrong[i]);
		cr_assert_eq(problems.count, i + 1);
		cr_expect_eq(problems.rows[i].code, PROBLEM_NOT_A_SIZE);
	}
	cr_expect_not_null(strstr(problems.rows[0].message, "nearest: 40"));
}

Test(pipe, a_size_is_not_made_in_every_schedule)
{
	struct pipe pipe;
	cr_expect(pipe_find("NPS 6", "40", &pipe));
	cr_expect_not(pipe_find("NPS 6", "20", &pipe));
	cr_expect_not(
		pipe_find(NULL, "40", &pipe) || pipe_find("NPS 6", NULL, &pipe) || pipe_find("DN 150", "40", &pipe));
}

Test(pipe, next_larger)
{
	static const struct {
		const char *size, *schedule, *next, *next_schedule;
	} rows[] = {
		{"NPS 8", "40", "NPS 10", "40"},
		{"NPS 4", "80", "NPS 6", "80"},
		{"NPS 2", "XS", "NPS 3", "XS"},
		{"NPS 1", "80", "NPS 1-1/2", "80"},
		/* Not made in XXS above 12: the thinnest wall of NPS 14 that is not less than 25.40 mm is 27.79 mm. */
		{"NPS 12", "XXS", "NPS 14", "120"},
		/* No wall of NPS 30 reaches 17.48 mm. */
		{"NPS 24", "40", "NPS 36", "40"},
	};
	struct pipe larger;
	for (size_t i = 0; i < COUNT(rows); i++) {
		cr_assert(pipe_next(rows[i].size, rows[i].schedule, &larger), "%s", rows[i].size);
		cr_expect_str_eq(larger.size, rows[i].next);
		cr_expect_str_eq(larger.schedule, rows[i].next_schedule, "%s", rows[i].size);
	}
	cr_expect_not(pipe_next("NPS 36", "40", &larger));
	cr_expect_not(pipe_next("NPS 24", "160", &larger));
	cr_expect_not(pipe_next("NPS 6", "20", &larger));
	cr_expect_not(pipe_next(NULL, NULL, &larger));
}

Test(pipe, smallest_with_bore)
{
	struct pipe pipe;
	cr_assert(pipe_smallest_with_bore(0.1, "40", &pipe));
	cr_expect_str_eq(pipe.size, "NPS 4");
	cr_assert(pipe_smallest_with_bore(0.1023, "40", &pipe));
	cr_expect_str_eq(pipe.size, "NPS 6");
	cr_expect_not(pipe_smallest_with_bore(2, "40", &pipe));
	cr_expect_not(pipe_smallest_with_bore((double)NAN, "40", &pipe));
	cr_expect_not(pipe_smallest_with_bore(0.1, "45", &pipe));
}

/* Along a schedule the outside diameter and the bore grow; a wall leaves a bore; every canonical word reads as itself. */
Test(pipe, table_is_sound)
{
	for (size_t i = 0; i < pipe_schedule_count(); i++) {
		const char *schedule = pipe_schedule(i);
		cr_expect_eq(pipe_schedule_parse(schedule, place, &problems), schedule);
		double outside = 0, bore = 0;
		for (size_t j = 0; j < pipe_size_count(); j++) {
			struct pipe pipe, larger;
			cr_expect_eq(pipe_size_parse(pipe_size(j), place, &problems), pipe_size(j));
			if (!pipe_find(pipe_size(j), schedule, &pipe))
				continue;
			cr_expect(pipe.outside > outside && pipe.bore > bore && pipe.wall > 0, "%s %s", pipe.size,
				schedule);
			outside = pipe.outside;
			bore = pipe.bore;
			cr_expect_eq(
				pipe_size_parse(arena_format(&arena, "DN%d", pipe.diameter_nominal), place, &problems),
				pipe.size);
			if (pipe_next(pipe.size, schedule, &larger))
				cr_expect(larger.outside > pipe.outside, "%s %s", pipe.size, schedule);
		}
	}
	cr_expect_eq(problems.count, 0);
}
