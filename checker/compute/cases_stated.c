#include "compute/cases_stated.h"

#include "base/count.h"
#include "base/text.h"
#include "compute/scene.h"
#include "resolve/equipment.h"

static const char *const conditions[] = {"flow", "duty", "outlet-temperature", "steam-flow", "heat-flux",
	"bottom-temperature", "top-temperature", "top-pressure", "bottom-pressure", "reflux-ratio", "temperature",
	"pressure", "discharge-pressure", "suction-pressure", "power", "upstream-pressure", "downstream-pressure",
	"medium-flow"};

static const char *const references[] = {
	"stream", "gas", "lean", "rich", "feed", "suction", "discharge", "inlet", "acid-gas"};

static bool states(const struct table *table, const struct item *item, int operating_case)
{
	struct scene scene = {.table = table, .item = item, .operating_case = operating_case};
	for (size_t i = 0; i < COUNT(conditions); i++)
		if (scene_states_case(&scene, item, conditions[i]))
			return true;
	return false;
}

/* Is a flow of what it handles stated for the case, and larger than the one that stands for every case, or not comparable with it? */
static bool flows_more(const struct table *table, const struct item *item, int operating_case)
{
	struct scene scene = {.table = table, .item = item, .operating_case = operating_case};
	for (size_t i = 0; i < COUNT(references); i++) {
		const struct item *stream = table_follow(table, item, operating_case, references[i]);
		if (!stream || !scene_states_case(&scene, stream, "flow"))
			continue;
		const struct quantity *here = table_get(table, stream, operating_case, "flow"),
				      *common = table_get(table, stream, EVERY_CASE, "flow");
		if (!is_number(here) || !is_number(common) || here->kind != common->kind ||
			here->si - common->si > here->uncertainty)
			return true;
	}
	return false;
}

/* The item, or one of its sides, carries the flow. */
static bool is_needed(const struct table *table, const struct item *item, int operating_case)
{
	bool needed = flows_more(table, item, operating_case);
	for (size_t i = item->index + 1; !needed && i < table_parts_end(table, item); i++)
		needed =
			table_item(table, i)->parent == item && flows_more(table, table_item(table, i), operating_case);
	return needed;
}

static void of_item(struct table *table, const struct item *item)
{
	struct arena *arena = table_arena(table);
	struct text left_out = text_in(arena);
	int stated = 0; /* cases beside the first, which the plain values describe */
	for (int c = 0; c < (int)table_case_count(table); c++) {
		const struct operating_case *row = table_case(table, c);
		if (row->upset)
			continue;
		bool one = states(table, item, c);
		stated += c > 0 && one;
		if (c > 0 && !one && is_needed(table, item, c))
			text_addf(&left_out, "%s%s", left_out.length ? ", " : "", row->id);
	}
	if (stated == 0)
		return;
	static const char why[] = "steady cases in which its flow is larger and it states nothing";
	table_put(table, item, EVERY_CASE, "covers-every-case",
		quantity_assumed_word(arena, KIND_YES_NO, left_out.length ? "no" : "yes", why));
	table_put(table, item, EVERY_CASE, "cases-left-out",
		quantity_assumed_word(arena, KIND_TEXT, left_out.length ? left_out.data : "none", why));
}

/* A declared case, by its id: does any item, or any document, state a value for it? The plain values describe the first. */
static void of_case(struct table *table, const struct item *item)
{
	size_t count;
	const struct statement *statements = table_statements(table, &count);
	int operating_case = 0;
	while (operating_case < (int)table_case_count(table) &&
		!text_same(table_case(table, operating_case)->id, item->tag))
		operating_case++;
	bool stated = operating_case == 0;
	for (size_t i = 0; i < count && !stated; i++)
		stated = statements[i].operating_case == operating_case;
	table_put(table, item, EVERY_CASE, "case-stated",
		quantity_assumed_word(table_arena(table), KIND_YES_NO, stated ? "yes" : "no",
			"by the values that are stated for the case"));
}

void cases_stated_compute(struct table *table)
{
	const struct items cases = table_of_kind(table, "case");
	for (size_t i = 0; i < cases.count; i++)
		of_case(table, cases.rows[i]);
	for (size_t i = 0; i < table_item_count(table); i++)
		if (item_is_any(table_item(table, i),
			    "pump exchanger cooler condenser reboiler regenerator absorber treater filter carbon-bed "
			    "valve"))
			of_item(table, table_item(table, i));
}
