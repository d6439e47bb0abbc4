#include "pipeline/compute_unit.h"

#include "base/count.h"
#include "compute/absorber.h"
#include "compute/amine_flow.h"
#include "compute/analyses.h"
#include "compute/balance.h"
#include "compute/blow_by.h"
#include "compute/carried.h"
#include "compute/cases_stated.h"
#include "compute/census.h"
#include "compute/condition.h"
#include "compute/contact.h"
#include "compute/contents.h"
#include "compute/copied.h"
#include "compute/dissolved.h"
#include "compute/documents.h"
#include "compute/ends.h"
#include "compute/envelope.h"
#include "compute/film.h"
#include "compute/fit.h"
#include "compute/flash.h"
#include "compute/gas_side.h"
#include "compute/gas_load.h"
#include "compute/grade.h"
#include "compute/history.h"
#include "compute/holdup.h"
#include "compute/hydraulics.h"
#include "compute/interface.h"
#include "compute/judged.h"
#include "compute/lean_rich.h"
#include "compute/lean_welds.h"
#include "compute/ledger.h"
#include "compute/letdown.h"
#include "compute/loads.h"
#include "compute/local.h"
#include "compute/medium.h"
#include "compute/metal.h"
#include "compute/nodes.h"
#include "compute/outlets.h"
#include "compute/overhead.h"
#include "compute/owed.h"
#include "compute/protection.h"
#include "compute/provisions.h"
#include "compute/pump.h"
#include "compute/rating.h"
#include "compute/reach.h"
#include "compute/regenerator.h"
#include "compute/relief.h"
#include "compute/relief_load.h"
#include "compute/restated.h"
#include "compute/reverse_flow.h"
#include "compute/rupture.h"
#include "compute/salts_effect.h"
#include "compute/second.h"
#include "compute/sour.h"
#include "compute/share.h"
#include "compute/steam.h"
#include "compute/streams.h"
#include "compute/suction.h"
#include "compute/surface.h"
#include "compute/tower.h"
#include "compute/upset.h"
#include "compute/wall.h"
#include "pipeline/lineage.h"
#include "reconcile/finding.h"
#include "sulfide/lean_side.h"

/* What is asked for on the command line goes before what the description states. */
static void put_film_age(struct table *table, const struct quantity *film_age)
{
	const struct item *basis = table_sole(table, "basis");
	if (!basis)
		basis = table_sole(table, "unit");
	if (basis && film_age)
		for (int c = EVERY_CASE; c < (int)table_case_count(table); c++)
			table_put(table, basis, c, "film-age", film_age);
}

static void gas_side_and_streams(struct table *table)
{
	if (gas_side_compute(table))
		streams_compute(table);
}

/* In this order: each takes from those before it. */
static void (*const modules[])(struct table *table) = {
	/* what flows, how fast, and how hot */
	analyses_compute, contents_compute, share_compute, streams_compute, gas_side_and_streams, ends_compute,
	steam_compute, outlets_compute, grade_compute, flash_carriers, medium_compute, film_bulk, restated_compute,
	carried_compute, hydraulics_compute, history_compute, flash_erosion, local_compute,
	second_compute, /* after all that runs faster where more flashes */
	/* metal and its condition, then the solution round the circuit and what is stated of it twice */
	metal_compute, contact_compute, condition_compute, lean_welds_compute, amine_flow_compute, surface_compute,
	lean_rich_compute, absorber_compute, salts_effect_compute, balance_compute, judged_compute, overhead_compute,
	regenerator_compute, /* after the balances: its feed is held against lean plus gas */
	regenerator_columns, balance_of_regenerators, nodes_compute, copied_compute,
	/* what each piece of equipment can do and bear */
	overhead_condensing, surface_transfer, film_compute, capacity_compute,
	suction_compute, /* before the margin of its head */
	interface_compute, suction_spare, rating_compute, tower_compute, letdown_compute, gas_load_compute,
	cases_stated_compute, holdup_compute, pump_compute, loads_compute, ledger_compute, census_compute,
	documents_compute, provisions_compute, protection_compute, relief_compute, relief_load_compute,
	envelope_compute, rupture_compute, reverse_flow_compute, blow_by_compute, wall_compute, fit_compute,
	upset_compute, reach_compute, sour_compute, dissolved_compute, owed_compute,
	lean_side_put, /* the sulfide analysis: what rules cite of it */
};

/* All but the analysis. */
static const size_t of_plant = COUNT(modules) - 1;

size_t compute_module_count(void)
{
	return COUNT(modules);
}

void compute_module(struct table *table, size_t module)
{
	modules[module](table);
}

struct table *compute_begin(struct arena *arena, const struct table *resolved)
{
	return table_overlay(arena, resolved);
}

static struct table *compute_all(struct arena *arena, const struct table *resolved, const struct compute_options *asked)
{
	struct table *table = compute_begin(arena, resolved);
	if (asked->lineage)
		lineage_watch(asked->lineage, table);
	put_film_age(table, asked->film_age);
	for (size_t m = 0; m < of_plant; m++)
		if (asked->lineage)
			lineage_run(asked->lineage, m);
		else
			modules[m](table);
	return table;
}

static const struct reconciliations *reconcile_compute(struct table *table)
{
	struct reconciliations *all = arena_alloc(table_arena(table), sizeof *all);
	*all = reconcile_all(table_arena(table), table);
	reconcile_put(table, all);
	return all;
}

struct computed_unit compute_unit(struct arena *arena, const struct table *resolved, struct compute_options asked)
{
	struct table *table = compute_all(arena, resolved, &asked);
	struct computed_unit computed = {.table = table, .reconciled = reconcile_compute(table)};
	if (asked.lineage)
		lineage_enter(asked.lineage, of_plant);
	computed.lean_side = lean_side_compute(table, !asked.no_samples);
	if (asked.lineage) {
		lineage_leave(asked.lineage);
		lineage_judging(asked.lineage);
	}
	return computed;
}

const struct table *compute_table(struct arena *arena, const struct table *resolved, enum analyses analyses)
{
	struct table *table = compute_all(arena, resolved, &(struct compute_options){.lineage = NULL});
	if (analyses == ANALYSES_ALL)
		reconcile_compute(table);
	if (analyses != ANALYSES_NONE)
		lean_side_put(table);
	return table;
}
