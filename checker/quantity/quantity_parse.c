#include "quantity/quantity.h"

#include <float.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/memo.h"
#include "base/text.h"
#include "quantity/units.h"

_Static_assert(QUANTITY_KINDS < 1 << 8, "a kind in eight bits"); /* of a key of what was read before */

/* The bounds of physics, SI. */
static const struct {
	double least, largest;
} bounds[] = {
#define KIND(code, name, si, shown, second, least, largest) {least, largest},
#include "quantity/kinds.def"
#undef KIND
};

bool kind_allows(enum kind kind, double si)
{
	return si >= bounds[kind].least && si <= bounds[kind].largest;
}

void kind_range(enum kind kind, double *least, double *largest)
{
	*least = bounds[kind].least;
	*largest = bounds[kind].largest;
}

/* The kind in which a width (a +/-) of `kind` is measured. */
static enum kind difference_of(enum kind kind)
{
	if (kind == KIND_TEMPERATURE)
		return KIND_TEMPERATURE_DIFFERENCE;
	if (kind == KIND_PRESSURE)
		return KIND_PRESSURE_DIFFERENCE;
	return kind;
}

/* The parts of a value as written. The texts are trimmed copies, "" where nothing is written. */
struct reading {
	double number;
	enum bound bound;
	bool reached;
	const char *unit;
	bool has_width;
	double width;		/* after +/- */
	bool width_is_percent;	/* "10 +/- 5% m3/h": of the value */
	const char *width_unit; /* where the value has a unit of its own: "121 degC +/- 2 K" */
};

/* Signs with more than one spelling; texts typed in a word processor carry the typographic ones. */
static const char *const spaces[] = {" ", "\t", "\n", "\r", "\u00a0", "\u2009", "\u202f", NULL};
static const char *const minuses[] = {"-", "\u2212", NULL};
static const char *const plus_minuses[] = {"+/-", "\u00b1", NULL};
static const char *const belows[] = {"<=", "<", "\u2264", NULL};
static const char *const aboves[] = {">=", ">", "\u2265", NULL};
static const char *const dashes[] = {"-", "\u2212", "\u2013", "\u2014", "..", "to ", NULL};

/* Behind the sign `at` begins with, or NULL when it begins with none of them. */
static const char *after(const char *at, const char *const *spellings)
{
	for (; *spellings; spellings++)
		if (strncmp(at, *spellings, strlen(*spellings)) == 0)
			return at + strlen(*spellings);
	return NULL;
}

static const char *skip_spaces(const char *at)
{
	for (const char *next; (next = after(at, spaces)) != NULL;)
		at = next;
	return at;
}

static const char *trimmed(struct arena *arena, const char *from, const char *to)
{
	from = skip_spaces(from);
	const char *end = from; /* after the last character that is no space */
	for (const char *at = from; at < to;) {
		const char *next = after(at, spaces);
		if (!next)
			end = at + 1;
		at = next ? next : at + 1;
	}
	return arena_copy_span(arena, from, (size_t)(end - from));
}

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

/*
 * Reads a decimal number with a point and perhaps an exponent; returns what follows, or NULL when there is none or it
 * is too long or too large. strtod alone would take hexadecimal, nan and inf. No setlocale() is called anywhere,
 * so its decimal sign is the point.
 */
static const char *read_number(const char *at, double *number)
{
	char buffer[64];
	const char *minus = after(at, minuses);
	if (minus)
		at = minus;
	else if (*at == '+')
		at++;
	const char *from = at;
	size_t digits = 0;
	for (; is_digit(*at); at++)
		digits++;
	if (*at == '.' && at[1] != '.')
		for (at++; is_digit(*at); at++)
			digits++;
	if (digits == 0)
		return NULL;
	if (*at == 'e' || *at == 'E') {
		const char *exponent = at + 1 + (at[1] == '+' || at[1] == '-');
		if (is_digit(*exponent))
			for (at = exponent; is_digit(*at);)
				at++;
	}
	size_t length = (size_t)(at - from);
	if (length >= sizeof buffer)
		return NULL;
	memcpy(buffer, from, length);
	buffer[length] = '\0';
	double size = strtod(buffer, NULL);
	if (!isfinite(size))
		return NULL;
	*number = minus ? -size : size;
	return at;
}

/* "1/2", the end of "1-1/2" */
static bool is_fraction(const char *at)
{
	while (is_digit(*at))
		at++;
	return *at == '/' && is_digit(at[1]);
}

/* What follows a number and makes it none, in words, or NULL. */
static const char *number_fault(const char *number, const char *end)
{
	const char *next = skip_spaces(end), *dash = after(next, dashes);
	const char *more = dash ? skip_spaces(dash) : next;
	if (*end == ',' || *end == '_' || (*end == '\'' && is_digit(end[1])))
		return "write a decimal point and no separators between digits";
	if (is_fraction(end) || (is_digit(*more) && is_fraction(more)))
		return "write a decimal number, not a fraction";
	if (dash && is_digit(*more))
		return "a range is not one value: state the one that governs, or +/-";
	if (is_digit(*next) || *end == '.' || *next == ';' || *next == ',')
		return "one number is expected, without spaces between its digits";
	if ((*end == 'x' || *end == 'X') && end[-1] == '0' && end - number <= 2)
		return "a decimal number is expected";
	return NULL;
}

/* The text after +/-, with `unit` as far as it stood before it. Returns a fault in words, or NULL. */
static const char *read_width(struct arena *arena, const char *at, struct reading *reading)
{
	const char *number = skip_spaces(at), *end = read_number(number, &reading->width);
	if (!end || reading->width < 0)
		return "a positive number is expected after +/-";
	const char *fault = number_fault(number, end);
	if (fault)
		return fault;
	reading->has_width = true;
	const char *rest = trimmed(arena, end, end + strlen(end));
	if (reading->unit[0]) {
		reading->width_unit = rest;
		return NULL;
	}
	/* A per cent sign with a unit after it is a part of the value; alone it is the unit. */
	const char *unit = *rest == '%' ? skip_spaces(rest + 1) : "";
	bool known_as_unit = unit_match(&(struct accepted){{KIND_MASS_FRACTION, KIND_MOLE_FRACTION}, 2}, rest) != NULL;
	reading->width_is_percent = *unit != '\0' && !known_as_unit;
	reading->unit = reading->width_is_percent ? arena_copy(arena, unit) : rest;
	return NULL;
}

static const char *read_bound(const char *at, struct reading *reading)
{
	const char *below = after(at, belows), *above = after(at, aboves);
	if (below || above)
		reading->bound = below ? BOUND_BELOW : BOUND_ABOVE;
	reading->reached = (below && below - at > 1) || (above && above - at > 1); /* "<=" and its one sign, in UTF-8 */
	return below ? skip_spaces(below) : above ? skip_spaces(above) : at;
}

/* Splits a value as written into its parts. Returns a fault in words, or NULL. */
static const char *split_written(struct arena *arena, const char *written, struct reading *reading)
{
	*reading = (struct reading){.unit = "", .width_unit = ""};
	const char *number = read_bound(skip_spaces(written), reading);
	const char *end = read_number(number, &reading->number);
	if (!end)
		return "a number is expected";
	const char *sign = end, *width = NULL;
	while (*sign && !(width = after(sign, plus_minuses)))
		sign++;
	if (skip_spaces(end) != sign || !width) {
		const char *fault = number_fault(number, end);
		if (fault)
			return fault;
	}
	reading->unit = trimmed(arena, end, sign);
	if (!width)
		return NULL;
	if (reading->bound != BOUND_NONE)
		return "a bound has no +/-";
	return read_width(arena, width, reading);
}

/* One value being parsed: what the messages need. */
struct parse {
	struct arena *arena;
	const char *written, *what;
	struct accepted accepted;
	double barometric; /* Pa, absolute */
	struct place place;
	struct problems *problems;
};

/* "degC, degF, K, degR ...", some of each accepted kind; "a number without a unit" where only that is allowed. */
static const char *allowed_units(const struct parse *parse)
{
	const size_t share = parse->accepted.count > 2 ? 2 : 4;
	struct text list = text_in(parse->arena);
	bool bare = false, more = false;
	for (size_t i = 0; i < parse->accepted.count; i++) {
		size_t listed = 0;
		for (size_t j = 0; j < unit_count(); j++) {
			const struct measure *unit = unit_row(j);
			if (unit->kind != parse->accepted.kinds[i])
				continue;
			if (!unit->spelling[0])
				bare = bare || i == 0;
			else if (listed++ < share)
				text_addf(&list, "%s%s", list.length ? ", " : "", unit->spelling);
			else
				more = true;
		}
	}
	if (bare)
		text_addf(&list, "%sa number without a unit", list.length ? ", " : "");
	if (more)
		text_add(&list, " ...");
	return list.data;
}

/* "pressure difference, partial pressure or stress": what the unit measures outside the accepted kinds, or NULL. */
static const char *measures(struct arena *arena, const char *unit)
{
	enum { MOST = 3 };
	const char *names[MOST];
	int count = 0;
	for (int kind = 0; kind < QUANTITY_KINDS && count < MOST; kind++)
		if (unit[0] && unit_match(&(struct accepted){{(enum kind)kind}, 1}, unit))
			names[count++] = kind_name((enum kind)kind);
	if (count == 0)
		return NULL;
	struct text list = text_in(arena);
	for (int i = 0; i < count; i++)
		text_addf(&list, "%s%s", i == 0 ? "" : i == count - 1 ? " or " : ", ", names[i]);
	for (char *c = list.data; *c; c++)
		if (*c == '-')
			*c = ' ';
	return list.data;
}

static const char *nearest_unit(const struct parse *parse, const char *unit)
{
	const char **candidates = arena_alloc(parse->arena, unit_count() * sizeof *candidates);
	size_t count = 0;
	for (size_t i = 0; i < parse->accepted.count; i++)
		for (size_t j = 0; j < unit_count(); j++)
			if (unit_row(j)->kind == parse->accepted.kinds[i])
				candidates[count++] = unit_row(j)->spelling;
	return text_nearest(unit, candidates, count);
}

static void report_unit(const struct parse *parse, const char *unit)
{
	const char *value = text_quoted(parse->arena, parse->written), *short_unit = text_quoted(parse->arena, unit);
	const char *allowed = allowed_units(parse);
	const char *refusal = unit_refusal(&parse->accepted, unit), *measured = measures(parse->arena, unit);
	enum problem_code code = !unit[0] ? PROBLEM_UNIT_MISSING : measured ? PROBLEM_WRONG_KIND : PROBLEM_UNKNOWN_UNIT;
	if (refusal && unit[0])
		problem_add(parse->problems, code, parse->place, "%s %s: %s: %s", parse->what, value, unit, refusal);
	else if (refusal)
		problem_add(parse->problems, code, parse->place, "%s %s: the unit is missing: %s", parse->what, value,
			refusal);
	else if (!unit[0])
		problem_add(parse->problems, code, parse->place, "%s %s: the unit is missing; allowed: %s", parse->what,
			value, allowed);
	else if (measured)
		problem_add(parse->problems, code, parse->place, "%s %s: %s measures %s; allowed: %s", parse->what,
			value, unit, measured, allowed);
	else {
		const char *nearest = nearest_unit(parse, unit);
		problem_add(parse->problems, code, parse->place, "%s %s: unknown unit %s; allowed: %s%s%s", parse->what,
			value, short_unit, allowed, nearest ? "; nearest: " : "", nearest ? nearest : "");
	}
}

/* The factor of a width's own unit: that of the value, a per cent of it, or a unit of the difference. */
static bool resolve_width(const struct parse *parse, const struct measure *unit, struct reading *reading, double *width)
{
	*width = reading->width * unit->factor;
	if (!reading->width_unit[0] || strcmp(reading->width_unit, reading->unit) == 0)
		;
	else if (strcmp(reading->width_unit, "%") == 0)
		reading->width_is_percent = true;
	else {
		struct accepted accepted = {{difference_of(unit->kind)}, 1};
		const struct measure *own = unit_match(&accepted, reading->width_unit);
		if (!own) {
			struct parse of_width = *parse;
			of_width.accepted = accepted;
			report_unit(&of_width, reading->width_unit);
			return false;
		}
		*width = reading->width * own->factor;
	}
	if (reading->width_is_percent)
		*width = fabs(reading->number * unit->factor) * reading->width / 100;
	return true;
}

/* "below absolute zero (-273.15 degC)": the bound in the unit of the value. */
static const char *bound_of_physics(const struct parse *parse, const struct measure *unit, double offset, bool low)
{
	double bound = ((low ? bounds[unit->kind].least : bounds[unit->kind].largest) - offset) / unit->factor;
	const char *gap = unit->spelling[0] ? " " : "";
	if (!low)
		return arena_format(parse->arena, "above %.6g%s%s", bound, gap, unit->spelling);
	if (unit->kind == KIND_TEMPERATURE || unit->kind == KIND_PRESSURE)
		return arena_format(parse->arena, "below absolute zero%s (%.6g %s)",
			unit->kind == KIND_PRESSURE ? " pressure" : "", bound, unit->spelling);
	if (!(bound < 0) && !(bound > 0))
		return "below zero";
	return arena_format(parse->arena, "below %.6g%s%s", bound, gap, unit->spelling);
}

/* A value off a bound by no more than the rounding of its conversion lies on it: -1.005 barg is no pressure at all. */
static bool within_physics(
	const struct parse *parse, const struct measure *unit, double offset, double number, double *si)
{
	const double least = bounds[unit->kind].least, largest = bounds[unit->kind].largest;
	double rounding = 4 * DBL_EPSILON * (fabs(number * unit->factor) + fabs(offset));
	bool low = *si < least - rounding;
	if (low || *si > largest + rounding) {
		problem_add(parse->problems, PROBLEM_OUT_OF_PHYSICS, parse->place, "%s %s: %s", parse->what,
			text_quoted(parse->arena, parse->written), bound_of_physics(parse, unit, offset, low));
		return false;
	}
	*si = *si < least + rounding ? least : fmin(*si, largest);
	return true;
}

static bool parse_number(const struct parse *parse, struct quantity *out)
{
	struct reading reading;
	const char *fault = split_written(parse->arena, parse->written, &reading);
	if (fault) {
		problem_add(parse->problems, PROBLEM_NOT_A_NUMBER, parse->place, "%s %s: %s; allowed: %s", parse->what,
			text_quoted(parse->arena, parse->written), fault, allowed_units(parse));
		return false;
	}
	const struct measure *unit = unit_match(&parse->accepted, reading.unit);
	if (!unit && reading.has_width && strcmp(reading.unit, "%") == 0) {
		unit = unit_match(&parse->accepted, ""); /* "0.45 +/- 10 %" of a kind that has no unit */
		reading.width_is_percent = true;
	}
	if (!unit) {
		report_unit(parse, reading.unit);
		return false;
	}
	double offset = unit->offset + (unit->gauge ? parse->barometric : 0), width = -1;
	out->si = reading.number * unit->factor + offset;
	if (!within_physics(parse, unit, offset, reading.number, &out->si))
		return false;
	if (reading.has_width && !resolve_width(parse, unit, &reading, &width))
		return false;
	out->kind = unit->kind;
	out->bound = reading.bound;
	out->reached = reading.reached;
	out->uncertainty = width;
	out->datum = unit->gauge ? parse->barometric : 0;
	return true;
}

/* What a number as written comes to: the same words are read again for every variant of a description. */
struct number_read {
	double si, uncertainty, datum;
	enum kind kind;
	enum bound bound;
	bool reached;
};

/* The words, the accepted kinds and the barometric pressure as whole numbers; false: they have no room. */
enum { KEY_TEXT = 4, KEY = KEY_TEXT + 2 };
static bool key_of(const struct parse *parse, double key[KEY])
{
	const unsigned bits = 8;
	uint64_t kinds = parse->accepted.count;
	size_t length = strlen(parse->written);

	if (length >= KEY_TEXT * sizeof *key)
		return false;
	memset(key, 0, KEY * sizeof *key);
	memcpy(key, parse->written, length);
	for (size_t i = 0; i < parse->accepted.count; i++)
		kinds = kinds << bits | (uint64_t)parse->accepted.kinds[i];
	memcpy(key + KEY_TEXT, &kinds, sizeof kinds);
	key[KEY_TEXT + 1] = parse->barometric;
	return true;
}

static bool parse_number_again(const struct parse *parse, struct quantity *out)
{
	static struct memo solved = {.numbers = KEY, .value = sizeof(struct number_read), .places = 1024};
	double key[KEY];
	bool fits = key_of(parse, key);
	const struct number_read *known = fits ? memo_find(&solved, key) : NULL;

	if (!known && !parse_number(parse, out))
		return false;
	if (!known) {
		struct number_read read = {out->si, out->uncertainty, out->datum, out->kind, out->bound, out->reached};
		if (fits)
			memo_keep(&solved, key, &read);
		return true;
	}
	out->si = known->si;
	out->uncertainty = known->uncertainty;
	out->datum = known->datum;
	out->kind = known->kind;
	out->bound = known->bound;
	out->reached = known->reached;
	return true;
}

static bool accepts(const struct accepted *accepted, enum kind kind)
{
	for (size_t i = 0; i < accepted->count; i++)
		if (accepted->kinds[i] == kind)
			return true;
	return false;
}

static bool parse_yes_no(const struct parse *parse, struct quantity *out)
{
	static const char *const words[] = {"yes", "no"};
	const char *word = trimmed(parse->arena, parse->written, parse->written + strlen(parse->written));
	out->kind = KIND_YES_NO;
	out->si = strcmp(word, "yes") == 0 ? 1 : 0;
	if (out->si > 0 || strcmp(word, "no") == 0)
		return true;
	const char *nearest = text_nearest(word, words, COUNT(words));
	problem_add(parse->problems, PROBLEM_NOT_A_CHOICE, parse->place, "%s %s: allowed: yes, no%s%s", parse->what,
		text_quoted(parse->arena, parse->written), nearest ? "; nearest: " : "", nearest ? nearest : "");
	return false;
}

bool quantity_parse(struct arena *arena, const char *written, const char *what, struct accepted accepted,
	double barometric, struct place place, struct problems *problems, struct quantity *out)
{
	for (size_t i = 0; i < accepted.count; i++)
		if (!kind_is_number(accepted.kinds[i]) && accepted.kinds[i] != KIND_YES_NO)
			unit_bug(__FILE__, __LINE__, "a word, text, reference or date is not a quantity to parse");
	struct parse parse = {arena, written, what, accepted, barometric, place, problems};
	struct quantity parsed = {.known = STATED, .place = place, .document = ""};
	bool is_yes_no = accepts(&accepted, KIND_YES_NO);
	if (!(is_yes_no ? parse_yes_no(&parse, &parsed) : parse_number_again(&parse, &parsed)))
		return false;
	parsed.written = arena_copy(arena, written);
	*out = parsed;
	return true;
}
