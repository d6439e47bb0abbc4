#include "record/opposed.h"

#include "base/count.h"
#include "base/text.h"

enum direction { RAISE, LOWER };
enum reach { THE_UNIT, PLACE };

struct change {
	const char *rule, *quantity;
	enum direction direction;
	enum reach reach;
};

static const struct change changes[] = {
#define CHANGE(rule, quantity, direction, reach) {rule, quantity, direction, reach},
#include "record/opposed.def"
};

const char *opposed_rule(size_t index)
{
	return index < COUNT(changes) ? changes[index].rule : NULL;
}

/* What a finding asks to change; NULL where it asks for nothing or for none of these. */
static const struct change *change_of(const struct finding *finding)
{
	if (finding->verdict != VERDICT_DEPARTS || finding->remark)
		return NULL;
	for (size_t i = 0; i < COUNT(changes); i++)
		if (text_same(changes[i].rule, finding->rule->id))
			return &changes[i];
	return NULL;
}

static const struct item *whole_of(const struct item *item)
{
	while (item->parent)
		item = item->parent;
	return item;
}

/* A finding and what it asks to change. */
struct asking {
	const struct finding *finding;
	const struct change *change;
};

static bool are_opposed(const struct asking *one, const struct asking *other)
{
	return one->change->direction != other->change->direction &&
		text_same(one->change->quantity, other->change->quantity) &&
		(one->change->reach == THE_UNIT || whole_of(one->finding->item) == whole_of(other->finding->item));
}

static struct asking *askings_of(struct arena *arena, const struct judgement *judgement, size_t *count)
{
	struct asking *rows = arena_alloc(arena, (judgement->count + 1) * sizeof *rows);
	for (size_t i = 0; i < judgement->count; i++) {
		const struct change *change = change_of(&judgement->findings[i]);
		if (change)
			rows[(*count)++] = (struct asking){&judgement->findings[i], change};
	}
	return rows;
}

/* "TMP-013 on C-301, LOD-004 on lean"; "": nothing asks for the opposite. */
static const char *opposed_to(struct arena *arena, const struct asking *rows, size_t count, const struct asking *asking)
{
	struct text text = text_in(arena);
	for (size_t i = 0; i < count; i++)
		if (are_opposed(asking, &rows[i]))
			text_addf(&text, "%s%s on %s", text.length ? ", " : "", rows[i].finding->rule->id,
				rows[i].finding->item->tag);
	return text.data ? text.data : "";
}

struct judgement opposed_mark(struct arena *arena, struct judgement judgement)
{
	size_t count = 0;
	const struct finding *findings = judgement.findings;
	const struct asking *rows = askings_of(arena, &judgement, &count);
	for (size_t i = 0; i < count; i++) {
		const char *others = opposed_to(arena, rows, count, &rows[i]);
		if (!*others)
			continue;
		struct finding *marked = judgement_change(arena, &judgement, (size_t)(rows[i].finding - findings));
		marked->remedy =
			arena_format(arena, "%s For the %s this contradicts the remedy of %s: resolve both together.",
				marked->remedy, rows[i].change->quantity, others);
	}
	return judgement;
}
