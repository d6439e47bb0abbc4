#include "quantity/quantity.h"

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "quantity/units.h"

enum { DIGITS = 4, PLAIN_FROM = -4, PLAIN_TO = 6 };

/*
 * The digits of a number that is written plainly, as a whole number of four, and the exponent of the first; 0: it is not so written, or
 * too near the middle of two such numbers to say which. One product or quotient by a power of ten is off by far less than `doubt`.
 */
static unsigned plain_digits(double size, int *exponent)
{
	static const double tens[] = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7};
	const double doubt = 1e-6;
	int at = 0;
	while (at < PLAIN_TO && size >= tens[at + 1])
		at++;
	while (at > PLAIN_FROM && size * tens[-at > 0 ? -at : 0] < 1)
		at--;
	double scaled = at < DIGITS ? size * tens[DIGITS - 1 - at] : size / tens[at - DIGITS + 1];
	double whole = floor(scaled), rest = scaled - whole;
	*exponent = at;
	if (scaled < tens[DIGITS - 1] || whole >= tens[DIGITS] - 1 || fabs(rest - 0.5) < doubt)
		return 0;
	return (unsigned)whole + (rest > 0.5);
}

static const char *show_plain(struct arena *arena, bool negative, unsigned four, int exponent, int least)
{
	char digits[DIGITS], buffer[2 * DIGITS - PLAIN_FROM + PLAIN_TO], *to = buffer;
	for (int i = DIGITS; i-- > 0; four /= 10)
		digits[i] = (char)('0' + four % 10);
	int last = DIGITS - 1;
	while (last > exponent && last >= least && digits[last] == '0')
		last--;
	if (negative)
		*to++ = '-';
	/* From the units on, be they before the first digit; the point follows them where there is more. */
	for (int i = exponent < 0 ? exponent : 0; i <= exponent || i <= last; i++) {
		*to++ = (char)(i < 0 || i >= DIGITS ? '0' : digits[i]);
		if (i == exponent && i < last)
			*to++ = '.';
	}
	return arena_copy_span(arena, buffer, (size_t)(to - buffer));
}

/* As the library rounds it. */
static const char *show_rounded(struct arena *arena, double value, int least)
{
	char buffer[32];
	snprintf(buffer, sizeof buffer, "%.*e", DIGITS - 1, value);
	double rounded = strtod(buffer, NULL);
	size_t mantissa = strcspn(buffer, "e");
	int exponent = (int)strtol(buffer + mantissa + 1, NULL, 10);
	bool plain = exponent >= PLAIN_FROM && exponent <= PLAIN_TO;
	int decimals = plain ? DIGITS - 1 - exponent : DIGITS - 1;
	if (plain)
		snprintf(buffer, sizeof buffer, "%.*f", decimals > 0 ? decimals : 0, rounded);
	else
		buffer[mantissa] = '\0';
	size_t end = strlen(buffer);
	for (int digits = DIGITS; decimals > 0 && digits > least && buffer[end - 1] == '0'; digits--, decimals--)
		end--;
	if (end > 0 && buffer[end - 1] == '.')
		end--;
	return plain ? arena_copy_span(arena, buffer, end) : arena_format(arena, "%.*se%d", (int)end, buffer, exponent);
}

/*
 * Four significant digits, of which trailing zeros after the point are dropped down to `least` digits. Plain from 1e-4 to
 * below 1e7, then with an exponent: "1.23e7".
 */
static const char *show_digits(struct arena *arena, double value, int least)
{
	int exponent;
	if (isnan(value))
		return "not known";
	if (isinf(value))
		return value > 0 ? "beyond all numbers" : "below all numbers";
	if (!(value < 0) && !(value > 0))
		return "0";
	unsigned digits = plain_digits(fabs(value), &exponent);
	return digits ? show_plain(arena, value < 0, digits, exponent, least) : show_rounded(arena, value, least);
}

const char *number_show(struct arena *arena, double value)
{
	return show_digits(arena, value, 1);
}

static const struct measure *unit_of(enum kind kind, const char *unit)
{
	const struct measure *row = unit_match(&(struct accepted){{kind}, 1}, unit);
	if (!row)
		unit_bug(__FILE__, __LINE__, unit);
	return row;
}

double quantity_in(double si, enum kind kind, const char *unit)
{
	const struct measure *row = unit_of(kind, unit);
	if (row->gauge)
		unit_bug(__FILE__, __LINE__, "a gauge unit needs the barometric pressure: unit_find()");
	return (si - row->offset) / row->factor;
}

static bool is_whole(double value)
{
	return isfinite(value) && !(round(value) < value) && !(round(value) > value);
}

/* A share of a whole is read in per cent or in parts per million, and a time in hours or in minutes, whichever the number is not
 * lost in. */
static const char *readable_unit(double si, enum kind kind)
{
	static const double TRACES_BELOW = 1e-3, TRACES_UP_TO = 5e-3, MINUTES_BELOW = 3600;
	if (kind == KIND_MASS_FRACTION && si > 0 && si < TRACES_BELOW)
		return "ppmw";
	if (kind == KIND_MOLE_FRACTION && si > 0 && si < TRACES_BELOW)
		return "ppmv";
	if (kind == KIND_TRACE && si > TRACES_UP_TO)
		return "wt%";
	if (kind == KIND_DURATION && si > 0 && si < MINUTES_BELOW)
		return "min";
	if (kind == KIND_GAS_TRACE && si > TRACES_UP_TO)
		return "mol%";
	return kind_unit(kind);
}

const char *quantity_show_si(struct arena *arena, double si, enum kind kind, const char *unit)
{
	const struct measure *row = unit_of(kind, unit ? unit : readable_unit(si, kind));
	if (row->gauge) /* the barometric pressure is not known here */
		row = unit_of(kind, kind_unit(kind));
	double value = (si - row->offset) / row->factor;
	const char *number = kind == KIND_COUNT && is_whole(value) ? arena_format(arena, "%.0f", value)
								   : show_digits(arena, value, 3);
	return row->spelling[0] && isfinite(value) ? arena_format(arena, "%s %s", number, row->spelling) : number;
}

static const char *bound_sign(const struct quantity *quantity)
{
	if (quantity->bound == BOUND_NONE)
		return "";
	if (quantity->bound == BOUND_BELOW)
		return quantity->reached ? "at most " : "< ";
	return quantity->reached ? "at least " : "> ";
}

const char *quantity_show(struct arena *arena, const struct quantity *quantity, const char *unit)
{
	if (quantity->known == UNKNOWN)
		return "not stated";
	if (quantity->kind == KIND_YES_NO)
		return quantity->si > 0 ? "yes" : "no";
	if (!kind_is_number(quantity->kind))
		return quantity->word ? quantity->word : "not stated";
	const char *shown = quantity_show_si(arena, quantity->si, quantity->kind, unit);
	return arena_format(arena, "%s%s", bound_sign(quantity), shown);
}

static const char *show_gauge(struct arena *arena, const struct quantity *quantity, const char *unit)
{
	double factor = unit_of(quantity->kind, unit)->factor;
	return arena_format(arena, "%s%s %s", bound_sign(quantity),
		show_digits(arena, (quantity->si - quantity->datum) / factor, 3), unit);
}

static bool is_in_psi(const struct quantity *quantity)
{
	return quantity->written && strstr(quantity->written, "psi");
}

const char *quantity_show_first(struct arena *arena, const struct quantity *quantity)
{
	bool is_known_number = quantity->known != UNKNOWN && kind_is_number(quantity->kind);
	if (is_known_number && quantity->known == STATED && quantity->written && *quantity->written)
		return quantity->written;
	/* Taken over from, or calculated like, what is stated as a gauge shows it. */
	if (is_known_number && quantity->kind == KIND_PRESSURE && quantity->datum > 0)
		return show_gauge(arena, quantity, is_in_psi(quantity) ? "psig" : "barg");
	return quantity_show(arena, quantity, NULL);
}

/* A gauge value in the other system's gauge unit: 18 barg is 261 psig, whatever the barometer says. */
static const char *other_gauge(struct arena *arena, const struct quantity *quantity)
{
	return show_gauge(arena, quantity, is_in_psi(quantity) ? "barg" : "psig");
}

/* What is measured in micrometres, nobody reads in inches: m. */
static const double FINE = 5e-4;

const char *quantity_show_both(struct arena *arena, const struct quantity *quantity)
{
	const char *first = quantity_show_first(arena, quantity);
	const char *second = kind_second(quantity->kind);
	if (quantity->known == UNKNOWN || !second[0] || !isfinite(quantity->si))
		return first;
	if (quantity->kind == KIND_LENGTH && fabs(quantity->si) < FINE)
		return first;
	if (quantity->datum > 0)
		return arena_format(arena, "%s (%s)", first, other_gauge(arena, quantity));
	size_t unit = strlen(second), length = strlen(first);
	bool is_second = length > unit && strcmp(first + length - unit, second) == 0;
	return arena_format(arena, "%s (%s)", first, quantity_show(arena, quantity, is_second ? NULL : second));
}

/* ---- as printed ---- */

/* The characters of the number at the beginning: digits, a point, an exponent. */
static size_t number_length(const char *at)
{
	size_t length = strspn(at, "0123456789.");
	if (length && (at[length] == 'e' || at[length] == 'E')) {
		size_t sign = strspn(at + length + 1, "+-"), power = strspn(at + length + 1 + sign, "0123456789");
		length += power ? 1 + sign + power : 0;
	}
	return length;
}

/* The place value of the last digit of "90.5", "23600", "1.2e3". */
static double last_digit(const char *number, size_t length)
{
	size_t digits = strspn(number, "0123456789."), zeros = 0;
	const char *point = memchr(number, '.', digits);
	double power = length > digits ? strtod(number + digits + 1, NULL) : 0;
	if (point)
		return pow(10, power - (double)(number + digits - point - 1));
	while (zeros + 3 < digits && number[digits - 1 - zeros] == '0')
		zeros++;
	return pow(10, power + (double)zeros);
}

double quantity_half_digit(const struct quantity *quantity)
{
	double factor, offset;
	if (quantity->known != STATED || !kind_is_number(quantity->kind) || !quantity->written)
		return 0;
	const char *number = quantity->written + strspn(quantity->written, "<>= +-\t");
	size_t figures = number_length(number);
	const char *unit = number + figures + strspn(number + figures, " \t");
	const char *width = strstr(unit, "+/-");
	if (width == unit) { /* "4 +/- 0.5 wt%": the unit follows the width */
		unit += 3 + strspn(unit + 3, " \t");
		unit += number_length(unit) + strspn(unit + number_length(unit), " \t");
		width = NULL;
	}
	char spelling[32];
	size_t length = width ? (size_t)(width - unit) : strlen(unit);
	while (length > 0 && unit[length - 1] == ' ')
		length--;
	if (!figures || length >= sizeof spelling)
		return 0;
	memcpy(spelling, unit, length);
	spelling[length] = '\0';
	if (!unit_find(quantity->kind, spelling, 0, &factor, &offset))
		factor = *spelling ? 0 : 1;
	return fabs(last_digit(number, figures) * factor) / 2;
}

bool quantity_states_uncertainty(const struct quantity *quantity)
{
	return quantity->written && (strstr(quantity->written, "+/-") || strstr(quantity->written, "\u00b1"));
}
