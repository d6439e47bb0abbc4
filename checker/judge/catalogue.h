/*
 * The rule catalogue: rules as data, read from XML, checked and compiled once, then only read.
 *
 * A rule carries everything about itself: what it selects, its inputs, its limits with the source of each, the
 * assertion, the words for the reader, and examples. Expressions are XPath 1.0 over the rule's own variables; paths are
 * refused when the rule is loaded, so there is no node to look at and nothing to loop over.
 *
 * A profile says which of several published limits governs and may override force and limits by reference. It is applied
 * while loading: what the catalogue holds is what is judged.
 */
#ifndef LEANRICH_CATALOGUE_H
#define LEANRICH_CATALOGUE_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/problem.h"
#include "judge/expression.h"
#include "quantity/quantity.h"
#include "read/element.h"
#include "read/vocabulary.h"

enum force { FORCE_REQUIRED, FORCE_RECOMMENDED, FORCE_ADVISORY };
enum reading { READING_READ, READING_SECONDARY, READING_MEMORY, READING_COMMON_PRACTICE };
enum relation { RELATION_AT_MOST, RELATION_BELOW, RELATION_AT_LEAST, RELATION_ABOVE };
enum verdict {
	VERDICT_DEPARTS,
	VERDICT_NOT_JUDGED,
	VERDICT_OUT_OF_RANGE,
	VERDICT_ACCEPTED,
	VERDICT_MEETS,
	VERDICT_NOT_APPLICABLE
};
enum certainty { CERTAINTY_FIRM, CERTAINTY_BORDERLINE, CERTAINTY_SCREENING, CERTAINTY_DISPUTED };

/* What a demand rests on, the best founded first (evidence.def; evidence.h). */
enum evidence {
#define EVIDENCE(name, word, meaning) EVIDENCE_##name,
#include "judge/evidence.def"
};

/* What a departure leads to in the end, the gravest first (consequence.def). */
enum consequence {
#define CONSEQUENCE(name, word, meaning) CONSEQUENCE_##name,
#include "judge/consequence.def"
};

const char *force_word(enum force force);
const char *consequence_word(enum consequence consequence);
const char *evidence_word(enum evidence evidence);
const char *evidence_meaning(enum evidence evidence);
const char *reading_word(enum reading reading);
const char *relation_word(enum relation relation);
const char *verdict_word(enum verdict verdict);
const char *certainty_word(enum certainty certainty);

/* The words of the schema back to the enumerations; it allows no others. */
enum force force_from_word(const char *word);
enum reading reading_from_word(const char *word);
enum verdict verdict_from_word(const char *word);
enum certainty certainty_from_word(const char *word);
enum consequence consequence_from_word(const char *word);
enum evidence evidence_from_word(const char *word);

/* The matters of rules in their order (rule_matter.def): the word, NULL after the last; what it takes in, "" where there is none such. */
const char *rule_matter_word(size_t index);
const char *rule_matter_meaning(const char *matter);

/* A word a thing must have: name and the words that will do, separated by `|`. */
struct condition {
	const char *name, *words;
};

struct conditions {
	const struct condition *rows;
	size_t count;
};

struct selection {
	const char *kinds;   /* element names separated by `|`, or "*" */
	const char *written; /* the same as the rule names them: "@amine-steel|repair" */
	struct conditions conditions;
};

struct rule_input {
	const char *name, *quantity, *of; /* of: "" the item itself (table_follow) */
	const char *as;	    /* what to ask the designer for instead of a quantity that is only computed, or "" */
	bool only_computed; /* and `as` says what to ask for */
	struct accepted accepted;
	const struct quantity *absent;	 /* taken when the input is not known; NULL: not judged */
	const char *absent_why;		 /* why silence may be taken so, or "" */
	const struct quantity *constant; /* a named constant of the rule; then quantity and of are "" */
	const struct source *source;	 /* of the constant, with clause and reading; else NULL */
	const char *clause;
	enum reading reading;
	struct place place;
};

struct expressions {
	const struct expression *rows;
	size_t count;
};

struct limit {
	const char *says; /* a demand in words instead of a number, else NULL */
	enum relation relation;
	struct quantity value;
	const struct source *source;
	const char *name, *clause, *confidence; /* "" where not given */
	enum reading reading;
	enum evidence evidence;	     /* that of its source, unless it says another */
	const char *where;	     /* "pipe", "tube", "pipe tube" or "" for anywhere */
	struct conditions narrowing; /* the limit is for these only */
	const struct expression *when;
	double half_digit; /* of a limit held as printed: half of the last digit of its figure, SI; else 0 */
	bool context;	   /* shown beside the value, never governs */
	bool governs;	   /* pinned by the rule or by the profile */
	bool overridden;   /* changed or added by the profile */
	struct place place;
};

struct force_change {
	enum force force;
	const char *code; /* holds when the package claims a code of this name */
	const char *why;
};

struct example {
	enum verdict verdict;
	const struct condition *values; /* input name and value as written */
	size_t count;
	const char *governing; /* key of the source of the limit expected to govern, or NULL */
	const char *certainty; /* expected certainty, or NULL */
	struct place place;
};

enum change_verb { CHANGE_SET, CHANGE_DROP, CHANGE_VARY, CHANGE_ADD, CHANGE_REMOVE };

/* One part of a change of the description. Of a SET one of is, to, times and step is there. */
struct change_part {
	enum change_verb verb;
	const char *name; /* the attribute; of VARY what is varied; of ADD the element; of REMOVE "" */
	const char *of;	  /* "": the item judged (table_follow) */
	const char *is;	  /* as a description writes it, or NULL */
	const struct expression *to, *times; /* over rule_change_variables(); or NULL */
	const char *step, *toward;	     /* words of the schema, or "" */
	struct conditions attributes;	     /* of ADD */
	struct place place;
};

/* One of the alternatives that a remedy names, whose parts are made together. */
struct rule_change {
	const char *says; /* in a few words, or "" */
	const struct change_part *parts;
	size_t part_count;
	struct place place;
};

struct rule {
	const char *id, *since, *title, *family, *mechanism;
	const char *matter; /* a word of rule_matter.def; "other" where the rule names none */
	enum force force;
	enum consequence consequence;
	const char *why_force;
	const struct force_change *force_changes;
	size_t force_change_count;
	const struct selection *selections;
	size_t selection_count;
	const struct rule_input *inputs; /* constants included */
	size_t input_count;
	bool upsets; /* judged in upset cases too */
	bool late;   /* it asks for what judging makes (late.h) */
	bool placed; /* it names its matter and its consequence */
	bool held;   /* it names its force, or a profile does; else the force is that of its evidence (evidence.h) */
	enum evidence evidence; /* of its limits together */
	int judged;		/* index of the input compared with the limits, or -1 */
	struct expressions when, met_if;
	const struct expression *assertion; /* or NULL */
	const struct limit *limits;
	size_t limit_count;
	const char *message, *why, *remedy;
	const char *
		only; /* why the remedy is words only, a word of the schema; "" where it has changes, or says neither */
	const struct rule_change *changes;
	size_t change_count;
	bool capped; /* `certainty` below is the best this rule can be */
	enum certainty certainty;
	const struct example *examples;
	size_t example_count;
	struct place place;
};

struct source {
	const char *key, *author, *title, *year, *edition, *publisher, *through;
	enum reading reading;
	enum evidence evidence;
	bool named; /* false: nobody can look it up; what rests on it alone is never firm */
	struct place place;
};

struct family {
	const char *name, *prefix, *title;
};

/* One thing that the profile changed, for the reader: of which rule, what, and on whose word. */
struct profile_change {
	const struct rule *rule;
	const char *what, *why;
};

struct catalogue {
	const struct rule *rules; /* sorted by id */
	size_t rule_count;
	const struct source *sources; /* sorted by key */
	size_t source_count;
	const struct family *families;
	size_t family_count;
	const char *profile_name, *profile_title;
	const struct profile_change *changes; /* by the profile, in its order */
	size_t change_count;
	bool strictest;		  /* the profile lets the strictest limit govern */
	struct expressions every; /* all compiled ones, for catalogue_release */
};

/*
 * A value written in a rule or an example: a number with its unit, yes or no, or a word, as the kind asks. NULL after a
 * fault. `what` names it in the message.
 */
const struct quantity *rule_value(struct arena *arena, const char *written, const char *what, struct accepted accepted,
	struct place place, struct problems *problems);

/* Which of the four relations an element states, and its value, into `limit`. False when it states none; several are a fault. */
bool limit_value(struct arena *arena, const struct element *element, struct accepted accepted,
	struct problems *problems, struct limit *limit);

/* One file of the catalogue: name for messages, text. */
struct rule_file {
	const char *name, *bytes;
	size_t size;
	bool built_in; /* inside the program, checked when it was tested: structure is not checked again at every start */
};

/*
 * Reads all files (rules, sources), then the profile (NULL: none, the rules' own choice). Every fault of every file is
 * in `problems`; the result is NULL when there was any. The vocabulary is that of
 * rules.xsd. Release with catalogue_release.
 */
const struct catalogue *catalogue_read(struct arena *arena, const struct rule_file *files, size_t file_count,
	const struct rule_file *profile, const struct vocabulary *vocabulary, struct problems *problems);
void catalogue_release(const struct catalogue *catalogue);

const struct rule *catalogue_rule(const struct catalogue *catalogue, const char *id);
/* The id most like a mistyped one, or NULL. */
const char *catalogue_nearest_rule(const struct catalogue *catalogue, struct arena *arena, const char *id);

/* Does the verdict of the rule rest on a quantity of this name: as an input, or as a word that selects or narrows? */
bool rule_reads(const struct rule *rule, const char *quantity);

const struct source *catalogue_source(const struct catalogue *catalogue, const char *key);

#endif
