#include "record/accounts.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

static const double NEAR_TEMPERATURE = 15, NEAR_SHARE = 0.25; /* K; of the larger */

const struct compared_row compared_rows[COMPARED_COUNT] = {
#define COMPARED(code, name, quantity, of, kind) {name, quantity, of, KIND_##kind},
#include "record/accounts.def"
};

static const struct account accounts[] = {
#define ACCOUNT(...) {__VA_ARGS__},
#include "record/accounts.def"
};

const struct account *account_at(size_t index)
{
	return index < COUNT(accounts) ? &accounts[index] : NULL;
}

static bool is_among(const char *alternatives, const char *word)
{
	size_t length;
	for (const char *part; (part = text_alternative(&alternatives, &length)) != NULL;)
		if (strlen(word) == length && strncmp(part, word, length) == 0)
			return true;
	return false;
}

bool account_is_on(const struct account *account, const char *matter)
{
	return is_among(account->matters, matter);
}

/* ---- one thing that an account states, held against the unit ---- */

struct comparing {
	struct arena *arena;
	const struct table *table;
	const struct finding *finding;
};

struct compared_value {
	enum truth alike;
	const char *here; /* in words; "" where it is not known */
};

static const char *said_word(struct arena *arena, const char *said)
{
	struct text text = text_in(arena);
	size_t length;
	for (const char *part; (part = text_alternative(&said, &length)) != NULL;) {
		text_add(&text, text.length ? " or " : "");
		text_add_span(&text, part, length);
	}
	return text.data ? text.data : "";
}

/* What an item is, or what it is in: a zone of an absorber is of an absorber. */
static struct compared_value compare_kind(const struct comparing *comparing, const char *said)
{
	struct compared_value value = {NO, comparing->finding->item->kind};
	for (const struct item *item = comparing->finding->item; item; item = item->parent)
		if (is_among(said, item->kind))
			value = (struct compared_value){YES, item->kind};
	return value;
}

static bool is_near(enum kind kind, double here, double there)
{
	double apart = fabs(here - there);
	return kind == KIND_TEMPERATURE ? apart <= NEAR_TEMPERATURE
					: apart <= NEAR_SHARE * fmax(fabs(here), fabs(there));
}

static bool begins(const char **at, const char *word)
{
	size_t length = strlen(word);
	bool is = strncmp(*at, word, length) == 0;
	*at += is ? length : 0;
	return is;
}

/* PERHAPS: the account's figure is none of this kind, which its table's own test refuses. */
static enum truth compare_number(struct arena *arena, enum kind kind, double here, const char *said)
{
	bool from = begins(&said, "from "), to = !from && begins(&said, "to ");
	struct accepted accepted = {.kinds = {kind}, .count = 1};
	struct problems unheard = {.arena = arena};
	struct quantity there;
	if (!quantity_parse(arena, said, "figure of an account", accepted, 0, (struct place){0}, &unheard, &there))
		return PERHAPS;
	bool alike = from ? here >= there.si : to ? here <= there.si : is_near(kind, here, there.si);
	return alike ? YES : NO;
}

static struct compared_value compare(const struct comparing *comparing, enum compared code, const char *said)
{
	const struct compared_row *row = &compared_rows[code];
	const struct finding *finding = comparing->finding;
	if (!*row->quantity)
		return compare_kind(comparing, said);
	const struct item *item = table_follow(comparing->table, finding->item, finding->operating_case, row->of);
	const struct quantity *here =
		item ? table_peek(comparing->table, item, finding->operating_case, row->quantity) : NULL;
	if (!here || here->known == UNKNOWN || here->bound != BOUND_NONE ||
		(here->kind == KIND_YES_NO && quantity_truth(here) == PERHAPS))
		return (struct compared_value){PERHAPS, ""};
	const char *words = quantity_show(comparing->arena, here, NULL);
	if (!kind_is_number(here->kind))
		return (struct compared_value){is_among(said, words) ? YES : NO, words};
	if (here->kind != row->kind)
		return (struct compared_value){PERHAPS, ""};
	return (struct compared_value){compare_number(comparing->arena, here->kind, here->si, said), words};
}

/* ---- one account ---- */

/* Words that are alike are said once, of an account that names several the one that is here. */
static void add_words(struct text *text, const struct compared_row *row, struct compared_value value, const char *there)
{
	const char *here = value.here;
	text_addf(text, "%s%s ", text->length ? "; " : "", row->name);
	if (strcmp(here, there) == 0 || (value.alike == YES && !kind_is_number(row->kind)))
		text_add(text, here);
	else if (*here)
		text_addf(text, "%s here, %s there", here, there);
	else
		text_addf(text, "(%s there)", there);
}

static struct likeness liken(const struct comparing *comparing, const struct account *account)
{
	struct likeness likeness = {.account = account};
	struct text words[] = {[NO] = text_in(comparing->arena),
		[YES] = text_in(comparing->arena),
		[PERHAPS] = text_in(comparing->arena)};
	for (int code = 0; code < COMPARED_COUNT; code++) {
		if (!account->said[code])
			continue;
		struct compared_value value = compare(comparing, (enum compared)code, account->said[code]);
		likeness.alike_count += value.alike == YES;
		likeness.unlike_count += value.alike == NO;
		likeness.unknown_count += value.alike == PERHAPS;
		add_words(&words[value.alike], &compared_rows[code], value,
			said_word(comparing->arena, account->said[code]));
	}
	likeness.alike = words[YES].data ? words[YES].data : "";
	likeness.unlike = words[NO].data ? words[NO].data : "";
	likeness.unknown = words[PERHAPS].data ? words[PERHAPS].data : "";
	return likeness;
}

static bool is_nearer(const struct likeness *a, const struct likeness *b)
{
	if (a->alike_count != b->alike_count)
		return a->alike_count > b->alike_count;
	if (a->unlike_count != b->unlike_count)
		return a->unlike_count < b->unlike_count;
	return a->unknown_count < b->unknown_count;
}

/* Kept in order; the last one falls out. */
static void put_nearer(struct nearest *nearest, struct likeness likeness)
{
	size_t at = nearest->count < NEAREST_AT_MOST ? nearest->count++ : NEAREST_AT_MOST;
	while (at > 0 && is_nearer(&likeness, &nearest->rows[at - 1])) {
		if (at < NEAREST_AT_MOST)
			nearest->rows[at] = nearest->rows[at - 1];
		at--;
	}
	if (at < NEAREST_AT_MOST)
		nearest->rows[at] = likeness;
}

struct nearest accounts_nearest(struct arena *arena, const struct table *table, const struct catalogue *catalogue,
	const struct finding *finding)
{
	struct comparing comparing = {arena, table, finding};
	struct nearest nearest = {.finding = finding};
	for (size_t i = 0; i < COUNT(accounts); i++) {
		const struct source *source = account_is_on(&accounts[i], finding->rule->matter)
			? catalogue_source(catalogue, accounts[i].source)
			: NULL;
		if (!source)
			continue;
		struct likeness likeness = liken(&comparing, &accounts[i]);
		likeness.source = source;
		if (likeness.alike_count > likeness.unlike_count)
			put_nearer(&nearest, likeness);
	}
	return nearest;
}
