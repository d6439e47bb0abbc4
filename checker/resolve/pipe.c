#include "resolve/pipe.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

enum schedule {
#define SCHEDULE(code, name) SCHEDULE_##code,
#include "resolve/pipes.def"
#undef SCHEDULE
	SCHEDULE_COUNT
};

static const char *const schedules[] = {
#define SCHEDULE(code, name) name,
#include "resolve/pipes.def"
#undef SCHEDULE
};

static const struct pipe_row {
	const char *size;
	int diameter_nominal;
	bool common;
	double outside_mm, walls_mm[SCHEDULE_COUNT];
} rows[] = {
#define PIPE(nps, dn, common, outside_mm, ...) {"NPS " nps, dn, common, outside_mm, {__VA_ARGS__}},
#include "resolve/pipes.def"
#undef PIPE
};

enum { ROW_COUNT = COUNT(rows) };

size_t pipe_size_count(void)
{
	return ROW_COUNT;
}

const char *pipe_size(size_t i)
{
	return rows[i].size;
}

size_t pipe_schedule_count(void)
{
	return SCHEDULE_COUNT;
}

const char *pipe_schedule(size_t i)
{
	return schedules[i];
}

static const char *skip_spaces(const char *at)
{
	while (*at == ' ')
		at++;
	return at;
}

/* After the word `at` begins with in any case, and the spaces after it; NULL when it begins with another. */
static const char *after_word(const char *at, const char *word)
{
	for (; *word; word++, at++) {
		char c = *at >= 'A' && *at <= 'Z' ? (char)(*at - 'A' + 'a') : *at;
		if (c != *word)
			return NULL;
	}
	return skip_spaces(at);
}

/* Up to six digits; NULL when none or more are there. */
static const char *read_digits(const char *at, double *value)
{
	enum { MOST = 6 };
	const char *from = at;
	for (*value = 0; *at >= '0' && *at <= '9' && at - from <= MOST; at++)
		*value = *value * 10 + (*at - '0');
	return at > from && at - from <= MOST ? at : NULL;
}

/* "/2" after the one of 1/2 */
static const char *read_denominator(const char *at, double *value)
{
	double denominator;
	at = *at == '/' ? read_digits(at + 1, &denominator) : NULL;
	if (!at || !(denominator > 0))
		return NULL;
	*value /= denominator;
	return at;
}

/* "6", "1.5", "1/2", "1-1/2", "1 1/2"; returns what follows, or NULL. */
static const char *read_inches(const char *at, double *inches)
{
	at = read_digits(at, inches);
	if (!at || *at == '/')
		return at ? read_denominator(at, inches) : NULL;
	double part;
	if (*at == '.') {
		const char *end = read_digits(at + 1, &part);
		if (!end)
			return NULL;
		*inches += part / pow(10, (double)(end - at - 1));
		return end;
	}
	if ((*at == '-' || *at == ' ') && at[1] >= '0' && at[1] <= '9') {
		const char *end = read_digits(at + 1, &part);
		end = end ? read_denominator(end, &part) : NULL;
		*inches += end ? part : 0;
		return end;
	}
	return at;
}

static double inches_of(const struct pipe_row *row)
{
	double inches = 0;
	read_inches(row->size + strlen("NPS "), &inches);
	return inches;
}

/* How a size was written. The number is in inches or, for DN, in nominal mm. */
enum system { SIZE_UNREADABLE, SIZE_BARE, SIZE_NPS, SIZE_DN };

static enum system read_size(const char *written, double *number)
{
	static const char *const inch_signs[] = {"\"", "''", "\u2033", "inches", "inch", "in.", "in"};
	const char *at = skip_spaces(written), *nps = after_word(at, "nps"), *dn = after_word(at, "dn"), *end;
	if (dn)
		return (end = read_digits(dn, number)) && !*skip_spaces(end) ? SIZE_DN : SIZE_UNREADABLE;
	end = read_inches(nps ? nps : at, number);
	if (!end)
		return SIZE_UNREADABLE;
	end = skip_spaces(end);
	for (size_t i = 0; i < COUNT(inch_signs); i++) {
		const char *after = after_word(end, inch_signs[i]);
		if (after && !*after)
			return SIZE_NPS;
	}
	return *end ? SIZE_UNREADABLE : nps ? SIZE_NPS : SIZE_BARE;
}

static double number_of(const struct pipe_row *row, enum system system)
{
	return system == SIZE_DN ? row->diameter_nominal : inches_of(row);
}

static const char *size_name(struct arena *arena, const struct pipe_row *row, enum system system)
{
	return system == SIZE_DN ? arena_format(arena, "DN %d", row->diameter_nominal) : row->size;
}

/* "nearest: NPS 6, NPS 8": the sizes on both sides of one that is not made. */
static const char *neighbours(struct arena *arena, enum system system, double number)
{
	size_t above = 0;
	while (above < ROW_COUNT && number_of(&rows[above], system) < number)
		above++;
	struct text list = text_in(arena);
	text_add(&list, "nearest: ");
	if (above > 0)
		text_add(&list, size_name(arena, &rows[above - 1], system));
	if (above > 0 && above < ROW_COUNT)
		text_add(&list, ", ");
	if (above < ROW_COUNT)
		text_add(&list, size_name(arena, &rows[above], system));
	return list.data;
}

const char *pipe_size_parse(const char *written, struct place place, struct problems *problems)
{
	const double close = 1e-6; /* inches are read through fractions */
	double number = 0;
	enum system system = read_size(written, &number);
	for (size_t i = 0; i < ROW_COUNT && (system == SIZE_NPS || system == SIZE_DN); i++)
		if (fabs(number_of(&rows[i], system) - number) < close)
			return rows[i].size;
	const char *nearest = system == SIZE_NPS || system == SIZE_DN ? neighbours(problems->arena, system, number)
		: system == SIZE_BARE ? "inches or DN is not said: write NPS 6 or DN 150"
				      : "write NPS 6, 6 in or DN 150";
	problem_add(problems, PROBLEM_NOT_A_SIZE, place, "pipe size %s: allowed: %s to %s, DN %d to DN %d; %s",
		text_quoted(problems->arena, written), rows[0].size, rows[ROW_COUNT - 1].size, rows[0].diameter_nominal,
		rows[ROW_COUNT - 1].diameter_nominal, nearest);
	return NULL;
}

const char *pipe_schedule_parse(const char *written, struct place place, struct problems *problems)
{
	static const char *const before[] = {"schedule", "sch.", "sch"};
	const char *at = skip_spaces(written), *name = at;
	for (size_t i = 0; i < COUNT(before) && name == at; i++) {
		const char *after = after_word(at, before[i]);
		name = after ? after : at;
	}
	size_t length = strcspn(name, " ");
	const char *word = arena_copy_span(problems->arena, name, *skip_spaces(name + length) ? strlen(name) : length);
	for (size_t i = 0; i < SCHEDULE_COUNT; i++)
		if (text_same_nocase(word, schedules[i]))
			return schedules[i];
	struct text all = text_in(problems->arena);
	for (size_t i = 0; i < SCHEDULE_COUNT; i++)
		text_addf(&all, "%s%s", i ? ", " : "", schedules[i]);
	const char *nearest = text_nearest(word, schedules, SCHEDULE_COUNT);
	problem_add(problems, PROBLEM_NOT_A_SIZE, place, "schedule %s: allowed: %s%s%s",
		text_quoted(problems->arena, written), all.data, nearest ? "; nearest: " : "", nearest ? nearest : "");
	return NULL;
}

static const struct pipe_row *row_of(const char *size)
{
	for (size_t i = 0; size && i < ROW_COUNT; i++)
		if (strcmp(rows[i].size, size) == 0)
			return &rows[i];
	return NULL;
}

/* SCHEDULE_COUNT when it is none. */
static size_t schedule_of(const char *schedule)
{
	size_t i = 0;
	while (i < SCHEDULE_COUNT && !(schedule && strcmp(schedules[i], schedule) == 0))
		i++;
	return i;
}

/* False: not made. */
static bool take(const struct pipe_row *row, size_t schedule, struct pipe *pipe)
{
	const double mm = 1e-3;
	if (!row || schedule == SCHEDULE_COUNT || !(row->walls_mm[schedule] > 0))
		return false;
	*pipe = (struct pipe){.size = row->size,
		.diameter_nominal = row->diameter_nominal,
		.schedule = schedules[schedule],
		.outside = row->outside_mm * mm,
		.wall = row->walls_mm[schedule] * mm,
		.bore = (row->outside_mm - 2 * row->walls_mm[schedule]) * mm};
	return true;
}

bool pipe_find(const char *size, const char *schedule, struct pipe *pipe)
{
	return take(row_of(size), schedule_of(schedule), pipe);
}

/* The schedule of the row with the thinnest wall of at least `least_mm`, the first among equals. */
static size_t schedule_with_wall(const struct pipe_row *row, double least_mm)
{
	size_t best = SCHEDULE_COUNT;
	for (size_t i = 0; i < SCHEDULE_COUNT; i++)
		if (row->walls_mm[i] >= least_mm && (best == SCHEDULE_COUNT || row->walls_mm[i] < row->walls_mm[best]))
			best = i;
	return best;
}

bool pipe_thinnest(const char *size, struct pipe *pipe)
{
	const struct pipe_row *row = row_of(size);
	return row && take(row, schedule_with_wall(row, 1e-3), pipe);
}

bool pipe_thickest(const char *size, struct pipe *pipe)
{
	const struct pipe_row *row = row_of(size);
	size_t thickest = 0;
	for (size_t i = 1; row && i < SCHEDULE_COUNT; i++)
		if (row->walls_mm[i] > row->walls_mm[thickest])
			thickest = i;
	return take(row, thickest, pipe);
}

bool pipe_next(const char *size, const char *schedule, struct pipe *larger)
{
	struct pipe pipe;
	if (!pipe_find(size, schedule, &pipe))
		return false;
	const struct pipe_row *row = row_of(size);
	const size_t same = schedule_of(schedule);
	const double wall_mm = row->walls_mm[same];
	for (row++; row < rows + ROW_COUNT; row++)
		if (row->common && (take(row, same, larger) || take(row, schedule_with_wall(row, wall_mm), larger)))
			return true;
	return false;
}

/* "40S" and its like are of stainless pipe; both series hold walls of the same thickness. */
static bool is_stainless(const char *schedule)
{
	return schedule[0] != 'X' && text_ends(schedule, "S");
}

bool pipe_next_schedule(const char *size, const char *schedule, struct pipe *thicker)
{
	struct pipe pipe, tried;
	bool found = false;
	if (!pipe_find(size, schedule, &pipe))
		return false;
	for (size_t i = 0; i < SCHEDULE_COUNT; i++)
		if (is_stainless(schedules[i]) == is_stainless(schedule) && take(row_of(size), i, &tried) &&
			tried.wall > pipe.wall && (!found || tried.wall < thicker->wall)) {
			*thicker = tried;
			found = true;
		}
	return found;
}

bool pipe_smallest_with_bore(double bore, const char *schedule, struct pipe *pipe)
{
	struct pipe tried;
	for (size_t i = 0; i < ROW_COUNT; i++)
		if (rows[i].common && take(&rows[i], schedule_of(schedule), &tried) && tried.bore >= bore) {
			*pipe = tried;
			return true;
		}
	return false;
}
