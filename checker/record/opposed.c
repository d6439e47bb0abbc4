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

static bool are_opposed(const struct finding *one, const struct finding *other)
{
	const struct change *a = change_of(one), *b = change_of(other);
	return a && b && a->direction != b->direction && text_same(a->quantity, b->quantity) &&
		(a->reach == THE_UNIT || whole_of(one->item) == whole_of(other->item));
}

/* "TMP-013 on C-301, LOD-004 on lean"; "": nothing asks for the opposite. */
static const char *opposed_to(struct arena *arena, const struct judgement *judgement, const struct finding *finding)
{
	struct text text = text_in(arena);
	for (size_t i = 0; i < judgement->count; i++)
		if (are_opposed(finding, &judgement->findings[i]))
			text_addf(&text, "%s%s on %s", text.length ? ", " : "", judgement->findings[i].rule->id,
				judgement->findings[i].item->tag);
	return text.data ? text.data : "";
}

struct judgement opposed_mark(struct arena *arena, struct judgement judgement)
{
	for (size_t i = 0; i < judgement.count; i++) {
		const struct change *change = change_of(&judgement.findings[i]);
		const char *others = change ? opposed_to(arena, &judgement, &judgement.findings[i]) : "";
		if (!*others)
			continue;
		struct finding *marked = judgement_change(arena, &judgement, i);
		marked->remedy =
			arena_format(arena, "%s For the %s this contradicts the remedy of %s: resolve both together.",
				marked->remedy, change->quantity, others);
	}
	return judgement;
}
