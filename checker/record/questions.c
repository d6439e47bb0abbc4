#include "record/questions.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/computed.h"
#include "compute/title.h"
#include "read/vocabulary.h"

const char *answerer_word(enum answerer answerer)
{
	static const char *const words[] = {
		"process", "materials", "relief study", "laboratory", "inspection", "vendor"};
	return words[answerer];
}

static const char *const stage_words[] = {"concept", "front-end", "detailed", "built"};

const char *stage_word(enum stage stage)
{
	return stage_words[stage];
}

enum stage project_stage(const struct table *table)
{
	const struct item *basis = table_sole(table, "basis");
	const char *word = basis ? table_word(table, basis, EVERY_CASE, "stage") : NULL,
		   *kind = basis ? table_word(table, basis, EVERY_CASE, "kind") : NULL;
	for (size_t i = 0; word && i < COUNT(stage_words); i++)
		if (strcmp(stage_words[i], word) == 0)
			return (enum stage)i;
	return kind && strcmp(kind, "new") != 0 ? STAGE_BUILT : STAGE_DETAILED;
}

/* ---- which question ---- */

struct row {
	const char *key;
	enum answerer who;
	enum stage stage;
	enum stake stake;
	const char *words, *kinds, *quantities;
};

static const struct row rows[] = {
#define QUESTION(key, who, stage, stake, words, kinds, quantities)                                                     \
	{key, ANSWERER_##who, STAGE_##stage, STAKE_##stake, words, kinds, quantities},
#define FAMILY(family, who, stage)
#include "record/question.def"
#undef QUESTION
#undef FAMILY
};

static const struct row families[] = {
#define QUESTION(key, who, stage, stake, words, kinds, quantities)
#define FAMILY(family, who, stage) {family, ANSWERER_##who, STAGE_##stage, STAKE_UPKEEP, NULL, NULL, NULL},
#include "record/question.def"
#undef QUESTION
#undef FAMILY
};

static bool lists(const char *words, const char *word)
{
	size_t length = strlen(word);
	for (const char *at = words; (at = strstr(at, word)) != NULL; at++)
		if ((at == words || at[-1] == '|') && (at[length] == '|' || !at[length]))
			return true;
	return false;
}

/* The length of the name of a quantity, without what follows it in brackets: "relief cases (fire of V-301)". */
static size_t name_length(const char *quantity)
{
	const char *more = strstr(quantity, " (");
	return more ? (size_t)(more - quantity) : strlen(quantity);
}

/* Reads well of a number, of a list of them, and of what is answered by yes or no. */
static const char *in_plain_words(struct arena *arena, const struct request *request)
{
	const char *title = title_of_request(arena, request->quantity);
	const struct vocabulary_attribute *attribute = request->item && request->item->meaning
		? vocabulary_attribute(request->item->meaning, request->quantity)
		: NULL;
	bool answered =
		attribute && attribute->type->accepted.count && attribute->type->accepted.kinds[0] == KIND_YES_NO;
	return arena_format(arena, answered ? "Yes or no: %s?" : "Please state: %s.", title);
}

/* Of what no row has: by the family of the first rule that waits. */
static struct row by_family(struct arena *arena, const struct request *request)
{
	struct row row = {
		.key = request->quantity, .who = ANSWERER_PROCESS, .stage = STAGE_FRONT_END, .stake = STAKE_UPKEEP};
	for (size_t i = 0; i < COUNT(families); i++)
		if (strcmp(families[i].key, request->rules[0]->family) == 0) {
			row.who = families[i].who;
			row.stage = families[i].stage;
		}
	row.words = in_plain_words(arena, request);
	return row;
}

/* The first row that has the quantity of this kind of item; NULL: none. */
static const struct row *row_named(const char *kind, const char *name)
{
	for (size_t i = 0; i < COUNT(rows); i++)
		if (lists(rows[i].quantities, name) && (!*rows[i].kinds || (kind && lists(rows[i].kinds, kind))))
			return &rows[i];
	return NULL;
}

/* Of what is only ever calculated: the row of the first value that it follows from. */
static const struct row *row_of_source(struct arena *arena, const char *kind, const char *name)
{
	const struct computed *computed = computed_only(kind, name);
	for (const char *at = computed ? computed->from : ""; *at;) {
		size_t length = strcspn(at, " "), holder = strcspn(at, ". ");
		bool other = holder < length;
		const char *own = other ? arena_copy_span(arena, at, holder) : kind;
		const char *source = other ? arena_copy_span(arena, at + holder + 1, length - holder - 1)
					   : arena_copy_span(arena, at, length);
		const struct row *row = row_named(own, source);
		if (row)
			return row;
		at += length + (at[length] == ' ');
	}
	return NULL;
}

/* Is it, or what it is part of, hired for a campaign? What that is made of and rated for is one question, to who hires it out. */
static bool is_hired(const struct table *table, const struct item *item)
{
	const struct item *holder = item;
	while (holder && !text_same(table_word(table, holder, EVERY_CASE, "permanent"), "no"))
		holder = holder->parent;
	return holder != NULL;
}

static struct row row_of(struct arena *arena, const struct table *table, const struct request *request)
{
	static const struct row hired = {"hired", ANSWERER_VENDOR, STAGE_BUILT, STAKE_UPKEEP,
		"What is the hired equipment made of, and what is it rated for?", "", ""};
	static const struct row reading = {"gauge-or-absolute", ANSWERER_PROCESS, STAGE_CONCEPT, STAKE_RELEASE,
		"Is the pressure gauge or absolute?", "", ""};
	if (request->reading)
		return reading;
	if (is_hired(table, request->item))
		return hired;
	const char *name = arena_copy_span(arena, request->quantity, name_length(request->quantity));
	const struct row *row = row_named(request->item ? request->item->kind : NULL, name);
	row = row || !request->item ? row : row_of_source(arena, request->item->kind, name);
	return row ? *row : by_family(arena, request);
}

/* ---- gathering ---- */

struct asked {
	struct question question;
	const struct request **requests;
	const struct rule **rules;
	size_t request_capacity, rule_capacity;
	const struct finding *worst;
	size_t found; /* in the order of requests: keeps the sort stable */
};

struct asking {
	struct arena *arena;
	const struct table *table;
	struct asked *rows;
	size_t count;
};

static struct asked *asked_of(struct asking *asking, const struct request *request, enum stage stage)
{
	struct row row = row_of(asking->arena, asking->table, request);
	for (size_t i = 0; i < asking->count; i++)
		if (strcmp(asking->rows[i].question.key, row.key) == 0)
			return &asking->rows[i];
	struct asked *asked = &asking->rows[asking->count];
	*asked = (struct asked){.found = asking->count++,
		.question = {.key = row.key,
			.words = row.words,
			.who = row.who,
			.stage = row.stage,
			.stake = row.stake,
			.later = row.stage > stage,
			.force = FORCE_ADVISORY,
			.what = "",
			.turns = ""}};
	return asked;
}

static void add_rule(struct asking *asking, struct asked *asked, const struct rule *rule)
{
	struct question *question = &asked->question;
	for (size_t i = 0; i < question->rule_count; i++)
		if (asked->rules[i] == rule)
			return;
	asked->rules = arena_grow(
		asking->arena, asked->rules, question->rule_count, &asked->rule_capacity, sizeof *asked->rules);
	asked->rules[question->rule_count++] = rule;
}

/* Does no one answer come near to deciding it: it waits for many, or for a few and would not be firm then either? */
static bool waits_for_much(const struct finding *finding)
{
	enum { MANY = 3 };
	return finding->missing_count >= MANY || (finding->missing_count > 1 && finding->certainty > CERTAINTY_FIRM);
}

/* Of two findings that wait, does `a` say more of what the answer decides? */
static bool decides_more(const struct finding *a, const struct finding *b)
{
	if (!b || a->force != b->force)
		return !b || a->force < b->force;
	if ((a->missing_count == 1) != (b->missing_count == 1))
		return a->missing_count == 1;
	if (waits_for_much(a) != waits_for_much(b))
		return !waits_for_much(a);
	return a->turns && !b->turns;
}

static void add_finding(struct asking *asking, struct asked *asked, const struct finding *finding)
{
	struct question *question = &asked->question;
	add_rule(asking, asked, finding->rule);
	question->verdicts++;
	question->stands = question->stands || finding->verdict == VERDICT_DEPARTS;
	if (decides_more(finding, asked->worst))
		asked->worst = finding;
}

static void add_what(struct asking *asking, struct question *question, const char *quantity)
{
	const char *words = title_of_request(asking->arena, quantity);
	if (!lists(question->what, words))
		question->what = *question->what ? arena_format(asking->arena, "%s|%s", question->what, words) : words;
}

static void add_request(struct asking *asking, const struct request *request, enum stage stage)
{
	struct asked *asked = asked_of(asking, request, stage);
	asked->requests = arena_grow(asking->arena, asked->requests, asked->question.request_count,
		&asked->request_capacity, sizeof *asked->requests);
	asked->requests[asked->question.request_count++] = request;
	add_what(asking, &asked->question, request->quantity);
	for (size_t i = 0; i < request->finding_count; i++)
		add_finding(asking, asked, request->findings[i]);
	if (request->turns && request->force <= asked->question.force) {
		asked->question.force = request->force;
		asked->question.turns = request->turns;
		asked->question.alone = true;
	}
}

/* ---- in order ---- */

static int by_number(size_t a, size_t b)
{
	return a > b ? -1 : a < b;
}

static int by_weight(const void *left, const void *right)
{
	const struct asked *one = left, *other = right;
	const struct question *a = &one->question, *b = &other->question;
	int order = (int)a->later - (int)b->later;
	order = order ? order : (int)a->rank - (int)b->rank;
	order = order ? order : (int)a->stake - (int)b->stake;
	order = order ? order : (int)b->alone - (int)a->alone;
	order = order ? order : (int)b->stands - (int)a->stands;
	order = order ? order : by_number(a->rule_count, b->rule_count);
	order = order ? order : by_number(a->verdicts, b->verdicts);
	return order ? order : by_number(other->found, one->found);
}

/* One action below the worst that it can lead to, where that waits for much else. */
static enum force rank_of(const struct asked *asked)
{
	const struct question *question = &asked->question;
	bool below = !question->alone && asked->worst && waits_for_much(asked->worst);
	return below && question->force < FORCE_ADVISORY ? question->force + 1 : question->force;
}

/* What can be said of it when every finding is known that waits for it. */
static void weigh_worst(struct arena *arena, struct asked *asked)
{
	struct question *question = &asked->question;
	const struct finding *worst = asked->worst;
	if (!worst || (*question->turns && question->force <= worst->force))
		return;
	question->force = worst->force;
	question->alone = worst->missing_count == 1;
	if (worst->turns)
		question->turns = arena_format(arena, "%s %s", worst->rule->id, worst->turns);
}

static void finish(struct arena *arena, struct asked *asked)
{
	struct question *question = &asked->question;
	char *what = arena_copy(arena, question->what);
	struct text words = text_in(arena);
	for (char *at = what; *at; at++)
		if (*at == '|')
			text_add(&words, ", ");
		else
			text_add_char(&words, *at);
	question->what = words.data;
	question->requests = asked->requests;
	question->rules = asked->rules;
	weigh_worst(arena, asked);
	question->rank = rank_of(asked);
}

struct questions questions_collect(struct arena *arena, const struct table *table, struct requests requests)
{
	struct asking asking = {
		.arena = arena, .table = table, .rows = arena_alloc(arena, (requests.count + 1) * sizeof *asking.rows)};
	enum stage stage = project_stage(table);
	for (size_t i = 0; i < requests.count; i++)
		add_request(&asking, &requests.rows[i], stage);
	for (size_t i = 0; i < asking.count; i++)
		finish(arena, &asking.rows[i]);
	qsort(asking.rows, asking.count, sizeof *asking.rows, by_weight);
	struct question *out = arena_alloc(arena, (asking.count + 1) * sizeof *out);
	struct questions questions = {.rows = out, .count = asking.count};
	for (size_t i = 0; i < asking.count; i++) {
		out[i] = asking.rows[i].question;
		questions.now += !out[i].later;
	}
	return questions;
}

/* ---- words ---- */

const char *question_id(struct arena *arena, const struct question *question)
{
	return arena_format(arena, "ASK/%s", question->key);
}

const char *question_items(struct arena *arena, const struct question *question, size_t most)
{
	struct text text = text_in(arena);
	size_t count = 0;
	for (size_t i = 0; i < question->request_count; i++) {
		const struct item *item = question->requests[i]->item;
		bool told = false;
		for (size_t k = 0; k < i && !told; k++)
			told = question->requests[k]->item == item;
		if (told)
			continue;
		if (count++ < most)
			text_addf(&text, "%s%s", count > 1 ? ", " : "", item ? item->tag : "the unit");
	}
	if (count > most)
		text_addf(&text, " and %zu more", count - most);
	return text.data;
}
