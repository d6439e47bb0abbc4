#include "import/list_cell.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/date.h"
#include "base/text.h"
#include "quantity/quantity.h"
#include "resolve/pipe.h"
#include "resolve/resolve.h"

static const char OWED[] = "t.b.d.";

struct cell {
	struct arena *arena;
	const struct vocabulary_type *type;
	const struct cell_rules *rules;
	struct text why; /* what was interpreted on the way */
};

static struct cell_value left_out(const char *why)
{
	return (struct cell_value){.fate = CELL_LEFT_OUT, .why = why};
}

static struct cell_value taken(struct cell *cell, const char *value)
{
	bool plain = cell->why.length == 0;
	return (struct cell_value){
		.fate = plain ? CELL_TAKEN : CELL_INTERPRETED, .value = value, .why = plain ? "" : cell->why.data};
}

static void interpret(struct cell *cell, const char *what)
{
	text_addf(&cell->why, "%s%s", cell->why.length ? "; " : "", what);
}

static bool is_one_of(const char *words, const char *word)
{
	for (const char *at = words; *at;) {
		size_t length = strcspn(at, "|");
		if (strlen(word) == length) {
			size_t i = 0;
			while (i < length && (at[i] | 0x20) == (word[i] | 0x20))
				i++;
			if (i == length)
				return true;
		}
		at += length + (at[length] == '|');
	}
	return false;
}

static const char *trimmed(struct arena *arena, const char *from, size_t length)
{
	while (length && strchr(" \t\r\n", *from)) {
		from++;
		length--;
	}
	while (length && strchr(" \t\r\n", from[length - 1]))
		length--;
	return arena_copy_span(arena, from, length);
}

/* ---- signs that come in more than one spelling ---- */

static const char *plain_signs(struct arena *arena, const char *written)
{
	static const char *const signs[][2] = {{"\u00a0", " "}, {"\u2009", " "}, {"\u202f", " "}, {"\u2013", "-"},
		{"\u2014", "-"}, {"\u2212", "-"}, {"\u2033", "\""}, {"\u201d", "\""}, {"''", "\""}, {"\u00bd", " 1/2"},
		{"\u00bc", " 1/4"}, {"\u00be", " 3/4"}, {"\u2026", ".."}, {"\u00b0", "deg"}, {"deg ", "deg"},
		{"\n", " "}, {"\r", " "}, {"\t", " "}};
	struct text text = text_in(arena);
	for (const char *at = written; *at;) {
		size_t i = 0;
		while (i < COUNT(signs) && strncmp(at, signs[i][0], strlen(signs[i][0])) != 0)
			i++;
		if (i < COUNT(signs)) {
			text_add(&text, signs[i][1]);
			at += strlen(signs[i][0]);
		} else {
			text_add_char(&text, *at++);
		}
	}
	const char *plain = trimmed(arena, text.data, text.length);
	return *plain == '.' && plain[1] >= '0' && plain[1] <= '9' ? arena_join(arena, "0", plain, "", "") : plain;
}

/* "< 80" is "<80". */
static const char *without_gap(struct arena *arena, const char *written)
{
	size_t signs = strspn(written, "<>="), gap = strspn(written + signs, " ");
	return signs && gap ? arena_join(arena, arena_copy_span(arena, written, signs), written + signs + gap, "", "")
			    : written;
}

/* "4.5 NOTE 2", "4.5 Note 2, 3" without what follows the value. */
static const char *without_note(struct cell *cell, const char *written)
{
	static const char note[] = "note";
	for (const char *at = strchr(written, ' '); at; at = strchr(at + 1, ' ')) {
		const char *rest = at + 1;
		size_t same = 0;
		while (same < strlen(note) && (rest[same] | ' ') == note[same])
			same++;
		if (same < strlen(note) || !rest[same] ||
			strspn(rest + same, "sS.: 0123456789,&") != strlen(rest + same))
			continue;
		interpret(cell, arena_format(cell->arena, "%s set aside", rest));
		return trimmed(cell->arena, written, (size_t)(at - written));
	}
	return written;
}

/* "45*", "45 (note 3)", "45 [2]", "~45", "45 TBC" lose what is around the value; each is said. */
static const char *without_marks(struct cell *cell, const char *written)
{
	static const char *const words[] = {"TBC", "TBA", "HOLD", "EST", "EST.", "APPROX", "APPROX.", "CA.", "CA",
		"MAX", "MAX.", "MIN", "MIN.", "ABT", "ABT.", "ABOUT", "CIRCA", "ETWA", "ENV.", "ENV", "ENVIRON",
		"APROX.", "APROX", "ONGEVEER", "MAXI", "MINI", "MÁX.", "MÍN.", "TOTAL", "BARE", "NOMINAL", "NOM.",
		"NOM", "C/A", "CIRCA.", "EACH", "NOTE"};
	char *copy = arena_copy(cell->arena, written);
	char *open = strpbrk(copy, "([");
	if (open && open != copy && strpbrk(open, ")]")) {
		interpret(cell, arena_format(cell->arena, "%s set aside", open));
		*open = '\0';
	}
	const char *rest = trimmed(cell->arena, copy, strlen(copy));
	while (*rest == '~' || strncmp(rest, "\u2248", strlen("\u2248")) == 0 || strncmp(rest, "\u00b1", 2) == 0) {
		interpret(cell, "~ set aside");
		rest += *rest == '~' ? 1 : strlen(strncmp(rest, "\u00b1", 2) == 0 ? "\u00b1" : "\u2248");
		rest += strspn(rest, " ");
	}
	size_t length = strlen(rest);
	while (length > 1 && strchr("*#?!", rest[length - 1])) {
		interpret(cell, arena_format(cell->arena, "%c set aside", rest[length - 1]));
		length--;
	}
	rest = without_note(cell, trimmed(cell->arena, rest, length));
	for (size_t i = 0; i < COUNT(words); i++) {
		size_t word = strlen(words[i]), all = strlen(rest);
		bool after = all > word + 1 && rest[all - word - 1] == ' ' && is_one_of(words[i], rest + all - word);
		bool before = all > word + 1 && rest[word] == ' ' &&
			is_one_of(words[i], arena_copy_span(cell->arena, rest, word));
		if ((!after && !before) || (before && is_one_of("NOTE", words[i])))
			continue; /* "NOTE 2" is no value of two */
		interpret(cell, arena_format(cell->arena, "%s set aside", words[i]));
		rest = after ? trimmed(cell->arena, rest, all - word) : trimmed(cell->arena, rest + word, all - word);
	}
	return rest;
}

/* ---- numbers ---- */

static void without(char *text, char sign)
{
	char *end = text;
	for (const char *c = text; *c; c++)
		if (*c != sign)
			*end++ = *c;
	*end = '\0';
}

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

/* Does every one of the signs in the number stand before three digits that belong together? */
static bool only_groups(const char *number, char sign)
{
	enum { GROUP = 3 };
	bool any = false;
	for (const char *c = number; *c; c++) {
		if (*c != sign)
			continue;
		bool group = c > number && is_digit(c[-1]) && is_digit(c[1]) && is_digit(c[2]) && is_digit(c[GROUP]) &&
			!is_digit(c[GROUP + 1]);
		if (!group)
			return false;
		any = true;
	}
	return any;
}

/* "1 234,5" and "1'234.5": a space or an apostrophe before three digits can part nothing but thousands. */
static const char *without_groups(struct arena *arena, const char *written)
{
	enum { GROUP = 3 };
	char *copy = arena_copy(arena, written), *end = copy;
	for (const char *c = copy; *c; c++) {
		bool group = (*c == ' ' || *c == '\'') && c > copy && is_digit(c[-1]) && is_digit(c[1]) &&
			is_digit(c[2]) && is_digit(c[GROUP]) && !is_digit(c[GROUP + 1]);
		if (!group)
			*end++ = *c;
	}
	*end = '\0';
	return copy;
}

/*
 * The decimal sign becomes a point. "1,234" in a list with decimal points, or "1.234" in one with commas, could be a thousand
 * or one and a bit; NULL then.
 */
static const char *plain_number(struct cell *cell, const char *written)
{
	enum { GROUP = 3 };
	bool comma = cell->rules->decimal_comma;
	char other = comma ? '.' : ',', sign = comma ? ',' : '.';
	char *copy = arena_copy(cell->arena, written);
	if (cell->rules->exact)
		return copy;
	if (cell->rules->thousands && only_groups(copy, cell->rules->thousands)) {
		without(copy, cell->rules->thousands);
		interpret(cell, arena_format(cell->arena, "%c parts thousands in this sheet", cell->rules->thousands));
	}
	char *grouped = strchr(copy, other);
	if (grouped) {
		size_t digits = strspn(grouped + 1, "0123456789");
		bool decimal_behind = grouped[1 + digits] == sign;
		if (digits == GROUP && decimal_behind) {
			interpret(cell, arena_format(cell->arena, "%c taken to part thousands", other));
			memmove(grouped, grouped + 1, strlen(grouped));
		} else if (digits == GROUP || digits == 0) {
			return NULL;
		} else {
			interpret(cell, arena_format(cell->arena, "%c taken as the decimal sign", other));
			*grouped = sign;
		}
	}
	for (char *c = copy; *c; c++)
		if (*c == sign && c > copy && c[-1] >= '0' && c[-1] <= '9' && c[1] >= '0' && c[1] <= '9')
			*c = '.';
	return copy;
}

static bool begins_number(const char *at)
{
	at += strspn(at, "<>=");
	at += *at == '-' || *at == '+';
	return *at >= '0' && *at <= '9';
}

static bool accepts(const struct cell *cell, enum kind kind)
{
	for (size_t i = 0; i < cell->type->accepted.count; i++)
		if (cell->type->accepted.kinds[i] == kind)
			return true;
	return false;
}

/* Walls and sizes, and the lengths of lines and vessels. */
static bool is_length(const struct cell *cell)
{
	return accepts(cell, KIND_LENGTH) || accepts(cell, KIND_DISTANCE);
}

/* "45-60", "45/60", "45..60", "45...60", "45 to 60" into its two ends; the unit follows the second. */
static bool split_range(struct cell *cell, const char *written, const char **first, const char **second)
{
	static const char *const signs[] = {"...", "\u2026", "..", " to ", " bis ", "/", "\u2013", "-"};
	for (size_t i = 0; i < COUNT(signs); i++) {
		const char *at = strstr(written + 1, signs[i]); /* the first sign may be of a negative number */
		if (*signs[i] == '/' && is_length(cell))
			continue; /* a fraction, or two sizes: no range */
		if (!at || !begins_number(written))
			continue;
		const char *after = at + strlen(signs[i]);
		after += strspn(after, " ");
		size_t digits = strspn(written, "+-0123456789., ");
		if (!begins_number(after) || (size_t)(at - written) > digits)
			continue;
		*first = trimmed(cell->arena, written, (size_t)(at - written));
		*second = trimmed(cell->arena, after, strlen(after));
		return true;
	}
	return false;
}

static const char *unit_in(const char *written)
{
	const char *at = written + strspn(written, "<>=+- ");
	at += strspn(at, "0123456789.eE");
	return at + strspn(at, " ");
}

/* Is it a value of the attribute, in physics and in kind? */
static bool is_value(struct cell *cell, const char *value)
{
	size_t length = strlen(value);
	if (length && value[length - 1] == '?') /* gauge or absolute: the description leaves it open too */
		value = arena_join(cell->arena, arena_copy_span(cell->arena, value, length - 1), "a", "", "");
	struct problems ignored = {.arena = cell->arena};
	struct quantity quantity;
	if (cell->rules->words && cell->type->accepted.kinds[0] == KIND_COUNT && strpbrk(value, ".,"))
		return false; /* 1.4404 is a steel, no number of tubes */
	return quantity_parse(cell->arena, value, "value", cell->type->accepted, STANDARD_BAROMETRIC_PRESSURE,
		(struct place){.file = ""}, &ignored, &quantity);
}

/* What a unit that leaves its basis open means for this kind of value; NULL: it stays open. */
static const char *basis(const struct cell *cell, const char *unit)
{
	static const char undecided[] = "|bar|psi|kPa|MPa|mbar|Pa|kg/cm2|kgf/cm2|";
	bool gas = accepts(cell, KIND_GAS_TRACE) || (accepts(cell, KIND_MOLE_FRACTION) && !accepts(cell, KIND_TRACE));
	bool liquid = accepts(cell, KIND_MASS_FRACTION) || accepts(cell, KIND_TRACE);
	if (accepts(cell, KIND_PRESSURE) && strstr(undecided, arena_join(cell->arena, "|", unit, "|", "")))
		return arena_join(cell->arena, unit, "?", "", "");
	if (strcmp(unit, "%") == 0)
		return gas ? "mol%" : liquid ? "wt%" : NULL;
	if (strcmp(unit, "ppm") == 0)
		return gas ? "ppmv" : liquid ? "ppmw" : NULL;
	return NULL;
}

static const char *in_unit(struct cell *cell, const char *number, const char *unit)
{
	const char *value = arena_format(cell->arena, "%s %s", number, unit);
	const char *taken_as = cell->rules->words && !is_value(cell, value) ? basis(cell, unit) : NULL;
	if (!taken_as)
		return value;
	interpret(cell, arena_format(cell->arena, "%s taken as %s", unit, taken_as));
	return arena_format(cell->arena, "%s %s", number, taken_as);
}

/* A bare fraction of vapour is one of moles, as process simulations print it. */
static const char *bare_number(struct cell *cell, const char *number)
{
	double value = strtod(number, NULL);
	if (cell->rules->words && strcmp(cell->type->name, "molar-mass") == 0) {
		interpret(cell, "taken as g/mol");
		return arena_format(cell->arena, "%s g/mol", number);
	}
	if (!cell->rules->words || strcmp(cell->type->name, "vapour-share") != 0 || !(value >= 0 && value <= 1))
		return number;
	interpret(cell, "taken as a fraction of moles");
	return arena_format(cell->arena, "%.6g mol%%", value * 100);
}

static const char *with_unit(struct cell *cell, const char *number)
{
	const char *unit = unit_in(number);
	if (*unit && cell->rules->words)
		return in_unit(cell,
			arena_copy_span(cell->arena, number,
				strcspn(number, " ") < (size_t)(unit - number) ? strcspn(number, " ")
									       : (size_t)(unit - number)),
			unit);
	if (*unit)
		return number;
	if (!cell->rules->unit && cell->rules->words && is_length(cell) && strspn(number, "0.") == strlen(number)) {
		interpret(cell, "nothing, in whatever unit");
		return "0 mm";
	}
	return cell->rules->unit ? in_unit(cell, number, cell->rules->unit) : bare_number(cell, number);
}

static struct cell_value read_range(struct cell *cell, const char *first, const char *second)
{
	const char *a = plain_number(cell, first), *b = plain_number(cell, second);
	if (!a || !b)
		return left_out("a comma or a point could part thousands or decimals");
	double low = strtod(a, NULL), high = strtod(b, NULL);
	const char *taken_end = (low < high) == cell->rules->lowest ? a : b;
	if (!*unit_in(taken_end) && *unit_in(b))
		taken_end = arena_format(cell->arena, "%s %s", taken_end, unit_in(b));
	const char *value = with_unit(cell, taken_end);
	if (!is_value(cell, value))
		return left_out("the range is in no unit known for it");
	interpret(cell, arena_format(cell->arena, "of a range the %s", cell->rules->lowest ? "lowest" : "highest"));
	return taken(cell, value);
}

/* "3,5 / -1", "-1/3,5": beside a pressure it is full vacuum. */
static bool is_minus_one(const char *text)
{
	const char *figure = text + strspn(text, " ");
	return strncmp(figure, "-1", 2) == 0 && strspn(figure + 2, ".,0 ") == strlen(figure + 2);
}

static struct cell_value read_quantity(struct cell *cell, const char *written)
{
	const char *first, *second, *inches = NULL;
	if (is_length(cell))
		inches = list_cell_inches(cell->arena, written,
			cell->rules->unit				     ? cell->rules->unit
				: cell->rules->words && strchr(written, '/') ? "in" /* eighths are of an inch */
									     : NULL);
	if (inches && is_value(cell, inches)) {
		interpret(cell, "feet, inches and fractions of an inch");
		return taken(cell, inches);
	}
	if (is_one_of("AMB|AMB.|AMBIENT", written)) {
		if (!cell->rules->ambient || !is_value(cell, cell->rules->ambient))
			return left_out("ambient, and the map does not say what that is");
		interpret(cell, arena_format(cell->arena, "ambient taken as %s", cell->rules->ambient));
		return taken(cell, cell->rules->ambient);
	}
	bool two = split_range(cell, written, &first, &second);
	if (two && accepts(cell, KIND_PRESSURE) && (is_minus_one(first) || is_minus_one(second))) {
		struct cell_value out = read_quantity(cell, is_minus_one(first) ? second : first);
		out.vacuum = out.fate == CELL_TAKEN || out.fate == CELL_INTERPRETED;
		return out;
	}
	if (two)
		return read_range(cell, first, second);
	if (!begins_number(written))
		return left_out("no number");
	const char *number = plain_number(cell, written);
	if (!number)
		return left_out("a comma or a point could part thousands or decimals");
	if (*unit_in(number) && cell->rules->unit && strcmp(unit_in(number), cell->rules->unit) != 0 &&
		is_value(cell, number))
		interpret(cell,
			arena_format(
				cell->arena, "in %s, where the column is in %s", unit_in(number), cell->rules->unit));
	const char *value = with_unit(cell, number);
	if (!is_value(cell, value))
		return left_out(*unit_in(value) ? "not in a unit known for it, or beyond nature"
						: "a bare number, and the map gives no unit");
	return taken(cell, value);
}

/* "3.5/FV", "FV": the pressure and the vacuum are two statements. */
static struct cell_value read_pressure(struct cell *cell, const char *written)
{
	struct cell_value out;
	if (cell->rules->words &&
		is_one_of("ATM|ATM.|DRUCKLOS|drucklos|Drucklos|ATMOS|ATMOSPHERIC|ATMOSPH.|ATMOSFERISCH|ATMOSFERICO|"
			  "ATMOSPHERIQUE",
			written)) {
		interpret(cell, "atmospheric");
		return taken(cell, "0 barg");
	}
	char *copy = arena_copy(cell->arena, written), *vacuum = strstr(copy, "FV");
	if (!vacuum)
		return read_quantity(cell, written);
	if (strlen(copy) == 2) {
		out = left_out("full vacuum, and no pressure beside it");
		out.vacuum = true;
		return out;
	}
	for (size_t i = 0; i < 2; i++)
		vacuum[i] = ' ';
	for (char *c = copy; *c; c++)
		if (strchr("/&+", *c))
			*c = ' ';
	interpret(cell, "FV read as designed for full vacuum");
	out = read_quantity(cell, trimmed(cell->arena, copy, strlen(copy)));
	out.vacuum = true;
	return out;
}

/* ---- sizes and words ---- */

static struct cell_value read_size(struct cell *cell, const char *written)
{
	struct problems ignored = {.arena = cell->arena};
	const char *word = pipe_size_parse(written, (struct place){.file = ""}, &ignored);
	bool bare = strspn(written, "0123456789./- ") == strlen(written);
	if (bare && cell->rules->unit)
		word = pipe_size_parse(arena_format(cell->arena, "%s %s", cell->rules->unit, written),
			(struct place){.file = ""}, &ignored);
	else if (bare)
		return left_out("a bare number, and the map does not say NPS or DN");
	if (word)
		return taken(cell, word);
	return left_out(strpbrk(written, "xX") ? "two sizes in one cell" : "no size of the pipe table");
}

static struct cell_value read_schedule(struct cell *cell, const char *written)
{
	struct problems ignored = {.arena = cell->arena};
	struct text squeezed = text_in(cell->arena);
	for (const char *c = written; *c; c++)
		if (!strchr(cell->rules->words ? " .-" : " .", *c))
			text_add_char(&squeezed, *c);
	const char *digits = squeezed.data;
	if (strncmp(digits, "SCH", 3) == 0 || strncmp(digits, "Sch", 3) == 0 || strncmp(digits, "sch", 3) == 0)
		digits += 3;
	else if ((*digits == 'S' || *digits == 's') && digits[1] >= '0' && digits[1] <= '9')
		digits += 1;
	const char *word = pipe_schedule_parse(digits, (struct place){.file = ""}, &ignored);
	return word ? taken(cell, word) : left_out("no schedule of the pipe table");
}

static struct cell_value read_choice(struct cell *cell, const char *written)
{
	const struct vocabulary_type *type = cell->type;
	const char **words = arena_alloc(cell->arena, (type->choice_count + 1) * sizeof *words);
	for (size_t i = 0; i < type->choice_count; i++) {
		words[i] = type->choices[i].word;
		if (text_same_nocase(words[i], written))
			return taken(cell, words[i]);
	}
	const char *meaning = cell->rules->words ? list_cell_choice(cell->arena, type, written) : NULL;
	if (meaning) {
		interpret(cell, "by the program's own list of words");
		return taken(cell, meaning);
	}
	const char *nearest = text_nearest(written, words, type->choice_count);
	return left_out(arena_format(cell->arena, "no word for it%s%s%s; give it one in the map",
		nearest ? ", perhaps '" : "", nearest ? nearest : "", nearest ? "'" : ""));
}

static struct cell_value read_yes_no(struct cell *cell, const char *written)
{
	if (is_one_of("x", written)) /* a mark in a column that is named for what is so; or a cell crossed out */
		interpret(cell, "a mark taken as yes");
	if (is_one_of("y|yes|x|true", written))
		return taken(cell, "yes");
	if (is_one_of("n|no|none|false", written))
		return taken(cell, "no");
	const char *meaning = cell->rules->words ? list_cell_meaning(cell->arena, written, "yes-no") : NULL;
	if (meaning)
		return taken(cell, meaning);
	size_t length = strcspn(written, "([,;:");
	if (cell->rules->words && length && written[length] && list_says_why(cell->arena, written + length)) {
		interpret(cell, arena_format(cell->arena, "%s set aside", written + length));
		return read_yes_no(cell, trimmed(cell->arena, written, length));
	}
	return left_out("neither yes nor no");
}

/* What the list owes the description owes too; what only looks like it is to be looked at. */
static struct cell_value owed(struct cell *cell, const char *written)
{
	if (type_says_of_what(cell->type))
		return left_out("to be stated later");
	if (!written_is_owed(written))
		interpret(cell, "to be stated later");
	return taken(cell, OWED);
}

/* ---- dates ---- */

static struct cell_value read_date(struct cell *cell, const char *written)
{
	struct date date;
	if (date_read(written, &date))
		return taken(cell, written);
	const char *read = list_cell_date(cell->arena, written, cell->rules->dates);
	return read && date_read(read, &date) ? taken(cell, read)
					      : left_out("no date, or day and month cannot be told apart");
}

static bool is_unit_of(const struct cell *cell, const char *unit)
{
	double factor, offset;
	for (size_t i = 0; i < cell->type->accepted.count; i++)
		if (unit_find(cell->type->accepted.kinds[i], unit, STANDARD_BAROMETRIC_PRESSURE, &factor, &offset))
			return true;
	return false;
}

/* "12 bar(ü)": what follows the number is a unit as a whole, brackets and all; NULL: it is none. */
static const char *with_known_unit(struct cell *cell, const char *bare)
{
	const char *at = bare + strspn(bare, "<>=+- ");
	at += strspn(at, "0123456789.,");
	if (at == bare || !*at)
		return NULL;
	const char *unit = words_unit(cell->arena, cell->rules->words, at + strspn(at, " "), true);
	bool marked = strpbrk(at, "([") == at + strspn(at, " ") || (unit && strcmp(unit, "min") == 0);
	if (unit && marked && !is_unit_of(cell, unit))
		return NULL; /* "110 (c)" is a pressure with a mark, "45 min" a least temperature */
	return unit ? arena_join(cell->arena, arena_copy_span(cell->arena, bare, (size_t)(at - bare)), " ", unit, "")
		    : NULL;
}

struct cell_value list_cell(
	struct arena *arena, const char *content, const struct vocabulary_type *type, const struct cell_rules *rules)
{
	struct cell_rules without_unit = *rules;
	without_unit.unit = NULL;
	bool unitless =
		type->accepted.count && (type->accepted.kinds[0] == KIND_PH || type->accepted.kinds[0] == KIND_COUNT);
	struct cell cell = {.arena = arena, .type = type, .rules = unitless ? &without_unit : rules};
	cell.why = text_in(arena);
	const char *written = plain_signs(arena, content);
	if (!*written)
		return (struct cell_value){.fate = CELL_EMPTY};
	if (is_one_of("N/A|NA|N.A.|-|--|NONE|NIL|N/R", written))
		return (struct cell_value){.fate = CELL_NOT_STATED};
	if (rules->words && list_says_nothing(arena, written))
		return (struct cell_value){.fate = CELL_NOT_STATED};
	if (rules->words && !written_is_owed(written) && list_is_to_follow(arena, written))
		return owed(&cell, written);
	if (list_is_hold(written) || written_is_owed(written) || is_one_of("TBC|TBA|?|??|XX", written))
		return owed(&cell, written);
	enum kind kind = type->accepted.kinds[0];
	if (kind == KIND_DATE && rules->words)
		return read_date(&cell, written);
	if (kind_is_number(kind)) {
		written = without_gap(arena, written);
		if (rules->words && list_differs_by_part(arena, written))
			return left_out("another value holds at a part of it");
		written = rules->words && kind == KIND_PRESSURE ? list_with_face(arena, written) : written;
		const char *bare = rules->words ? without_groups(arena, written) : written;
		const char *known = rules->words ? with_known_unit(&cell, bare) : NULL;
		written = known ? known : without_marks(&cell, bare);
		return kind == KIND_PRESSURE ? read_pressure(&cell, written) : read_quantity(&cell, written);
	}
	if (kind == KIND_YES_NO)
		return read_yes_no(&cell, written);
	if (kind == KIND_WORD)
		return read_choice(&cell, written);
	if (strcmp(type->name, "pipe-size") == 0)
		return read_size(&cell, without_marks(&cell, written));
	if (strcmp(type->name, "schedule") == 0)
		return read_schedule(&cell, without_marks(&cell, written));
	return taken(&cell, written);
}
