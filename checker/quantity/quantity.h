/*
 * A quantity: a value, what kind it is, and how it is known.
 *
 * Every number (and word, and yes or no) that crosses from one stage to the next is a struct quantity, so that the
 * review can show its working and a rule can be "not judged" rather than wrongly passed. Numbers are in the
 * SI unit of their kind (kinds.def). Inner loops use plain doubles.
 *
 * A quantity is immutable once made and lives in the arena of its design.
 */
#ifndef LEANRICH_QUANTITY_H
#define LEANRICH_QUANTITY_H

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/problem.h"
#include "base/truth.h"

enum kind {
#define KIND(code, name, si, shown, second, least, largest) KIND_##code,
#include "quantity/kinds.def"
#undef KIND
	QUANTITY_KINDS
};

/* How a quantity is known. UNKNOWN is zero: a forgotten field is unknown, never right by accident. */
enum knowledge { UNKNOWN, STATED, COMPUTED, ASSUMED };

/* A value can be stated as a bound: "<5 ppmw", ">90 %". */
enum bound { BOUND_NONE, BOUND_BELOW, BOUND_ABOVE };

/*
 * How a computed value moves with one of its inputs, which decides what follows where that input is only a bound. Unsaid is
 * zero: of a bound whose effect nobody stated nothing follows, and the result is unknown.
 */
enum effect {
	EFFECT_UNSAID,
	EFFECT_RISES, /* the larger the input, the larger the result */
	EFFECT_FALLS, /* the larger the input, the smaller the result */
	EFFECT_WITHIN, /* all that the bound leaves open is within the uncertainty of the result: the bound serves as value */
};

struct item; /* resolve/table.h: here it is only passed on */

/*
 * One input of a computed quantity: the symbol the formula calls it by, what it is, and the input itself. A value of the table
 * says whose it is and how it is called there; what was calculated on the way has a name for the reader alone.
 */
struct input {
	const char *symbol;
	const char
		*name; /* "volume-flow"; of what has no place in the table, for the reader: "duty of the lean side" */
	const char *whose;	 /* the tag of the item: "lean-hot"; NULL: the name says it all */
	const struct item *item; /* "lean-hot", or NULL */
	const struct quantity *quantity;
	enum effect effect;
};

/* Something that nobody stated: "pwht" of "8-P-3107". */
struct missing {
	const struct item
		*item; /* the one that lacks it; NULL: nobody in particular, or the unit describes no such item */
	const char *quantity; /* NULL: the words alone say what is wrong */
	const char *reason;   /* "pwht of 8-P-3107 is not stated"; NULL: nothing is missing */
};

extern const struct missing nothing_missing;

struct quantity {
	enum knowledge known;
	enum kind kind;
	enum bound bound;
	bool reached; /* of a bound: the value itself is possible ("<=5 ppmw", and what is at least so much) */

	/* Owed: the description says t.b.d. in its place. Always UNKNOWN, as is what would be computed from it. */
	bool owed;
	bool unrecorded; /* and nobody will: the package says that there is no record of it; set beside `owed` */

	/* Conditions (vocabulary.h) that are stated for one operating case, and such as hold for all cases because nothing is
	 * stated for one: of a stated value at most one is set, of a computed one what its inputs say together. */
	bool of_case, of_normal;
	bool silent; /* ASSUMED because nobody says otherwise, or COMPUTED from nothing else: no evidence of anything */
	bool by_factor; /* COMPUTED, above zero: it may be as many times smaller as larger, not as much (quantity_low()) */
	uint32_t input_count; /* COMPUTED: of `inputs` */

	double si;	    /* numbers; yes is 1 and no is 0; NaN where unknown, so that nothing follows from it */
	const char *word;   /* WORD, TEXT, REFERENCE, DATE; NULL for numbers */
	double uncertainty; /* absolute, SI, half width; 0: exact. Of yes or no: not 0 where the other may as well be */
	double undecided; /* Pa, STATED: as gauge, of a pressure ("62 bar?") that does not say whether it is gauge; 0: it does */
	double datum; /* Pa: the barometric pressure that was added to a gauge value; 0: stated absolute */

	/* STATED: where, as written, and which document said so ("" when none is named). */
	struct place place;
	const char *written;
	const char *document;
	bool *read; /* set as soon as a rule or a calculation looks at what the description states; NULL: not to be told */

	/* COMPUTED: a row of formulas.def and what went in. ASSUMED: `reason` names the default. UNKNOWN: `reason`
	 * says what is missing, as words that can follow "because"; COMPUTED from a bound: which bound was used. Where a
	 * value would mend it, `missing_of` and `missing` name it: "pwht" of an item (quantity_missing). */
	const struct formula *formula;
	const struct input *inputs;
	const char *reason;
	const struct item *missing_of;
	const char *missing;
	const struct quantity
		*second; /* the same by another published correlation, where that is far from it; or NULL */
};

/* Are two plain numbers the same? An unknown one (NaN) is the same as another unknown one, and as nothing that is known. */
static inline bool number_same(double a, double b)
{
	return isnan(a) == isnan(b) && !(a < b) && !(a > b);
}

/* A formula of the program, for the working in the review. The rows are those of formulas.def. */
struct formula {
	const char *name;   /* "line-velocity" */
	const char *text;   /* "v = 4 Q / (pi D^2)" */
	const char *source; /* key into rules/sources.xml, or "" for a definition */
	const char *note;   /* range, typical error; "" when there is nothing to say */
};

const char *kind_name(enum kind kind);
bool kind_from_name(const char *name, enum kind *kind); /* false: no such kind */
const char *kind_si(enum kind kind);
const char *kind_unit(enum kind kind);	 /* the unit shown first */
const char *kind_second(enum kind kind); /* the unit shown second, or "" */
bool kind_is_number(enum kind kind);
bool kind_counts_from_zero(enum kind kind);  /* false: there is no zero that times could be counted from */
bool kind_allows(enum kind kind, double si); /* within the bounds of physics? */
void kind_range(enum kind kind, double *least, double *largest); /* these bounds, SI */

/*
 * What a type of the schema (or an input of a rule) accepts: one kind or several, e.g. a flow stated by mass or by
 * volume. A bare number is accepted only where the first kind has the unit "" in units.def.
 */
struct accepted {
	enum kind kinds[6];
	size_t count;
};

/*
 * Reads "121 degC", "62 barg", "4 +/- 0.5 mol%", "<5 ppmw", "0.006" into `out`. `barometric` (Pa, absolute) resolves
 * gauge units. On failure reports one problem at `place` (number, unit or kind; nearest spelling; what is allowed)
 * and returns false. `out` gets known = STATED, kind, bound, si, place, written; uncertainty only where stated (+/-),
 * else a negative number for the caller to replace by its default. A value outside physics is a fault.
 * `what` names the value in the message: "temperature".
 */
bool quantity_parse(struct arena *arena, const char *written, const char *what, struct accepted accepted,
	double barometric, struct place place, struct problems *problems, struct quantity *out);

/*
 * Half of the last digit printed of a stated number, SI: what rounding alone may have taken from it. The zeros that end a whole
 * number count as digits up to the third ("23600 kg/h" is printed to 100, "100 degC" to 1). 0: no number, or none that is stated.
 */
double quantity_half_digit(const struct quantity *quantity);

/* Does the statement carry an uncertainty of its own ("4 +/- 0.5 mol%")? */
bool quantity_states_uncertainty(const struct quantity *quantity);

/* Is the unit spelling known for the kind? Gives factor and offset: SI = written * factor + offset. Gauge units get
 * offset `barometric`. */
bool unit_find(enum kind kind, const char *spelling, double barometric, double *factor, double *offset);

/*
 * A number as an engineer writes it: three or four significant digits, the unit named; "2.10 m/s". Unknown: "not stated".
 * Words and texts as they are, yes/no as "yes" and "no". `unit` NULL: the one the kind shows first.
 */
const char *quantity_show(struct arena *arena, const struct quantity *quantity, const char *unit);

/* "2.10 m/s": a stated value as it was written, a computed one in the unit shown first. */
const char *quantity_show_first(struct arena *arena, const struct quantity *quantity);

/* "2.10 m/s (6.89 ft/s)": the same, then the other unit. */
const char *quantity_show_both(struct arena *arena, const struct quantity *quantity);

const char *quantity_show_si(struct arena *arena, double si, enum kind kind, const char *unit);
double quantity_in(double si, enum kind kind, const char *unit); /* SI to the unit; aborts on an unknown unit */
const char *number_show(
	struct arena *arena, double value); /* four significant digits, no exponent between 1e-4 and 1e6 */

/* How many spellings units.def holds, and the i-th: for the documentation and the tests. */
size_t unit_count(void);
const char *unit_spelling(size_t i, enum kind *kind);

/* Is it calculated from conditions of one operating case and from such as that case does not state? */
bool quantity_is_mixed(const struct quantity *quantity);

/* How the reason ends where every input is known and the calculation has no result: "flash gives no number here". */
extern const char quantity_no_number[];

/* Makers. Inputs that are unknown make the computed quantity unknown, with the first one's reason. */
const struct quantity *quantity_unknown(struct arena *arena, enum kind kind, const char *reason);
const struct quantity *quantity_lacking(struct arena *arena, enum kind kind, struct missing missing);
const struct quantity *quantity_assumed(
	struct arena *arena, enum kind kind, double si, double uncertainty, const char *reason);
/* A published constant: stated by `document` alone, in no file. */
const struct quantity *quantity_constant(struct arena *arena, enum kind kind, double si, const char *document);
struct quantity quantity_word(enum kind kind, const char *word, const char *reason);
const struct quantity *quantity_assumed_word(struct arena *arena, enum kind kind, const char *word, const char *reason);
/* The same number or word where it is for silence and follows from nothing that is stated. */
const struct quantity *quantity_default(
	struct arena *arena, enum kind kind, double si, double uncertainty, const char *reason);
const struct quantity *quantity_default_word(struct arena *arena, enum kind kind, const char *word, const char *reason);

/*
 * A number calculated by `formula` from `inputs` (copied). Where an input is unknown the result is unknown. Where an
 * input is only a bound, `si` was calculated at the bound and the input's effect decides: the result is a bound itself (all
 * bounds push one way), a number (within its uncertainty), or unknown; `reason` names the bound. An unknown result keeps its
 * inputs: all that is missing is among them.
 */
const struct quantity *quantity_computed(struct arena *arena, enum kind kind, double si, double uncertainty,
	const struct formula *formula, const struct input *inputs, size_t count);

/* The same of a value that is known by a factor: `uncertainty` is what it may be larger by. */
const struct quantity *quantity_computed_by_factor(struct arena *arena, enum kind kind, double si, double uncertainty,
	const struct formula *formula, const struct input *inputs, size_t count);

/* The ends of what a known number may be, and how far it is to that end on whose side `figure` lies. */
double quantity_low(const struct quantity *quantity);
double quantity_high(const struct quantity *quantity);
double quantity_reach(const struct quantity *quantity, double figure);

/* True when every input is known, as a number or as a bound whose effect is said: the caller may compute. */
bool inputs_known(const struct input *inputs, size_t count);

/* Of a yes-or-no quantity; PERHAPS: nothing was put (NULL), or it is unknown. */
enum truth quantity_truth(const struct quantity *quantity);

/* What keeps an unknown value, or one that is a bound for want of something, from being known. */
struct missing quantity_missing(const struct quantity *quantity);

/* Makes a bound of a number, or what is unknown, say what it lacks. */
void quantity_lacks(struct quantity *quantity, struct missing missing);

/*
 * At least so much: the value may be larger for want of `missing`, which, where it is an input (`open`, or NULL), joins the inputs.
 * Where the value itself is only known to be less, neither end is known. What is unknown is given back as it is.
 */
const struct quantity *quantity_at_least(
	struct arena *arena, const struct quantity *value, struct missing missing, const struct input *open);

/* For the reader: "volume-flow of lean-hot". What the table calls it: "volume-flow", or NULL. Whether two are called the same. */
const char *input_name(struct arena *arena, const struct input *input);
const char *input_property(const struct input *input);
bool input_same_name(const struct input *a, const struct input *b);

/* What an input that is unknown or a bound lacks: of a bound "content of chloride is stated only as a bound (<10 ppmw)". */
struct missing input_missing(struct arena *arena, const struct input *input);

#endif
