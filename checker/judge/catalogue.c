#include "judge/catalogue.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

static const char *const force_words[] = {"required", "recommended", "advisory"};
static const char *const reading_words[] = {"read", "secondary", "memory", "common practice"};
static const char *const relation_words[] = {"at most", "below", "at least", "above"};
static const char *const verdict_words[] = {
	"departs", "not judged", "out of range", "accepted", "meets", "not applicable"};
static const char *const certainty_words[] = {"firm", "borderline", "screening", "disputed"};

static const char *const consequence_words[] = {
#define CONSEQUENCE(name, word, meaning) word,
#include "judge/consequence.def"
};

static const char *const evidence_words[] = {
#define EVIDENCE(name, word, meaning) word,
#include "judge/evidence.def"
};

static const char *const evidence_meanings[] = {
#define EVIDENCE(name, word, meaning) meaning,
#include "judge/evidence.def"
};

static const struct {
	const char *word, *meaning;
} rule_matters[] = {
#define RULE_MATTER(word, meaning) {word, meaning},
#include "judge/rule_matter.def"
};

const char *force_word(enum force force)
{
	return force_words[force];
}

const char *reading_word(enum reading reading)
{
	return reading_words[reading];
}

const char *relation_word(enum relation relation)
{
	return relation_words[relation];
}

const char *verdict_word(enum verdict verdict)
{
	return verdict_words[verdict];
}

const char *certainty_word(enum certainty certainty)
{
	return certainty_words[certainty];
}

const char *consequence_word(enum consequence consequence)
{
	return consequence_words[consequence];
}

const char *evidence_word(enum evidence evidence)
{
	return evidence_words[evidence];
}

const char *evidence_meaning(enum evidence evidence)
{
	return evidence_meanings[evidence];
}

const char *rule_matter_word(size_t index)
{
	return index < COUNT(rule_matters) ? rule_matters[index].word : NULL;
}

const char *rule_matter_meaning(const char *matter)
{
	for (size_t i = 0; i < COUNT(rule_matters); i++)
		if (strcmp(rule_matters[i].word, matter) == 0)
			return rule_matters[i].meaning;
	return "";
}

/* The schema allows only the words of the list. */
static size_t index_of(const char *word, const char *const *words, size_t count)
{
	for (size_t i = 0; i < count; i++)
		if (strcmp(words[i], word) == 0)
			return i;
	abort();
}

#define INDEX_OF(word, words) index_of((word), (words), COUNT(words))

enum force force_from_word(const char *word)
{
	return (enum force)INDEX_OF(word, force_words);
}

enum reading reading_from_word(const char *word)
{
	return (enum reading)INDEX_OF(word, reading_words);
}

enum verdict verdict_from_word(const char *word)
{
	return (enum verdict)INDEX_OF(word, verdict_words);
}

enum certainty certainty_from_word(const char *word)
{
	return (enum certainty)INDEX_OF(word, certainty_words);
}

enum consequence consequence_from_word(const char *word)
{
	return (enum consequence)INDEX_OF(word, consequence_words);
}

enum evidence evidence_from_word(const char *word)
{
	return (enum evidence)INDEX_OF(word, evidence_words);
}

/* A value written in a rule: a number with its unit, yes or no, or a word. */
const struct quantity *rule_value(struct arena *arena, const char *written, const char *what, struct accepted accepted,
	struct place place, struct problems *problems)
{
	struct quantity *value = arena_alloc(arena, sizeof *value);
	enum kind kind = accepted.kinds[0];
	if (kind_is_number(kind)) {
		if (!quantity_parse(arena, written, what, accepted, 101325, place, problems, value))
			return NULL;
		value->uncertainty = fmax(value->uncertainty, 0);
		return value;
	}
	*value = (struct quantity){
		.known = STATED, .kind = kind, .word = written, .written = written, .place = place, .document = ""};
	if (kind != KIND_YES_NO)
		return value;
	value->si = strcmp(written, "yes") == 0;
	if (value->si > 0 || strcmp(written, "no") == 0)
		return value;
	problem_add(problems, PROBLEM_NOT_A_CHOICE, place, "%s: '%s'; allowed: yes, no", what, written);
	return NULL;
}

/* Which of the four relations an element states, and its value; 0 or several are faults. */
bool limit_value(struct arena *arena, const struct element *element, struct accepted accepted,
	struct problems *problems, struct limit *limit)
{
	static const char *const attributes[] = {"at-most", "below", "at-least", "above"};
	size_t found = 0;
	for (size_t i = 0; i < 4; i++) {
		const char *written = element_attribute(element, attributes[i]);
		if (!written)
			continue;
		const struct quantity *value = rule_value(arena, written, attributes[i], accepted,
			element_attribute_place(element, attributes[i]), problems);
		limit->relation = (enum relation)i;
		if (value)
			limit->value = *value;
		found++;
	}
	if (found > 1)
		problem_add(problems, PROBLEM_BAD_RULE, element->place,
			"a limit has one of at-most, below, at-least, above; here are %zu", found);
	return found == 1;
}

void catalogue_release(const struct catalogue *catalogue)
{
	for (size_t i = 0; catalogue && i < catalogue->every.count; i++)
		expression_release(&catalogue->every.rows[i]);
}

static bool condition_reads(struct conditions conditions, const char *quantity)
{
	for (size_t i = 0; i < conditions.count; i++)
		if (text_is(conditions.rows[i].name, quantity))
			return true;
	return false;
}

bool rule_reads(const struct rule *rule, const char *quantity)
{
	bool reads = false;
	for (size_t i = 0; i < rule->input_count; i++)
		reads = reads || text_is(rule->inputs[i].quantity, quantity);
	for (size_t i = 0; i < rule->selection_count; i++)
		reads = reads || condition_reads(rule->selections[i].conditions, quantity);
	for (size_t i = 0; i < rule->limit_count; i++)
		reads = reads || condition_reads(rule->limits[i].narrowing, quantity);
	return reads;
}

const struct rule *catalogue_rule(const struct catalogue *catalogue, const char *id)
{
	for (size_t i = 0; i < catalogue->rule_count; i++)
		if (text_same_nocase(catalogue->rules[i].id, id))
			return &catalogue->rules[i];
	return NULL;
}

const char *catalogue_nearest_rule(const struct catalogue *catalogue, struct arena *arena, const char *id)
{
	const char **ids = arena_alloc(arena, catalogue->rule_count * sizeof *ids);
	for (size_t i = 0; i < catalogue->rule_count; i++)
		ids[i] = catalogue->rules[i].id;
	return text_nearest(id, ids, catalogue->rule_count);
}

const struct source *catalogue_source(const struct catalogue *catalogue, const char *key)
{
	size_t low = 0, high = catalogue->source_count;
	while (low < high) {
		size_t middle = (low + high) / 2;
		int order = strcmp(catalogue->sources[middle].key, key);
		if (order == 0)
			return &catalogue->sources[middle];
		if (order < 0)
			low = middle + 1;
		else
			high = middle;
	}
	return NULL;
}
