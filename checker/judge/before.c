#include "judge/before.h"

static bool is_earlier(const struct finding *finding, const struct rule *rule, const struct item *item)
{
	return finding->rule < rule || (finding->rule == rule && item && finding->item->index < item->index);
}

size_t before_first(const struct judged_before *before, const struct rule *rule, const struct item *item)
{
	size_t low = 0, high = before->count;
	while (low < high) {
		size_t middle = (low + high) / 2;
		if (is_earlier(&before->findings[middle], rule, item))
			low = middle + 1;
		else
			high = middle;
	}
	return low;
}

bool before_is_of(const struct judged_before *before, size_t at, const struct rule *rule, const struct item *item)
{
	return at < before->count && before->findings[at].rule == rule &&
		(!item || before->findings[at].item->index == item->index);
}

/* The same item in the table that is judged; NULL stays NULL. */
static const struct item *now(const struct judge_context *context, const struct item *before)
{
	bool there = before && before->index < table_item_count(context->table);
	return there ? table_item(context->table, before->index) : before;
}

struct finding before_renewed(const struct judge_context *context, size_t at)
{
	struct finding finding = *judged_finding(context->before, at);
	finding.item = now(context, finding.item);
	finding.deviation = now(context, finding.deviation);
	finding.missing = NULL;
	if (!finding.missing_count)
		return finding;
	const struct missing *before = judged_finding(context->before, at)->missing;
	struct missing *missing = arena_alloc(context->arena, finding.missing_count * sizeof *missing);
	for (size_t k = 0; k < finding.missing_count; k++) {
		missing[k] = before[k];
		missing[k].item = now(context, missing[k].item);
	}
	finding.missing = missing;
	return finding;
}
