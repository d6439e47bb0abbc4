#include "pipeline/compute_unit.h"

#include "compute/absorber.h"
#include "compute/amine_flow.h"
#include "compute/analyses.h"
#include "compute/balance.h"
#include "compute/blow_by.h"
#include "compute/carried.h"
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
#include "compute/grade.h"
#include "compute/history.h"
#include "compute/holdup.h"
#include "compute/hydraulics.h"
#include "compute/interface.h"
#include "compute/judged.h"
#include "compute/lean_rich.h"
#include "compute/lean_welds.h"
#include "compute/loads.h"
#include "compute/local.h"
#include "compute/medium.h"
#include "compute/metal.h"
#include "compute/nodes.h"
#include "compute/outlets.h"
#include "compute/overhead.h"
#include "compute/owed.h"
#include "compute/protection.h"
#include "compute/pump.h"
#include "compute/reach.h"
#include "compute/regenerator.h"
#include "compute/relief.h"
#include "compute/restated.h"
#include "compute/reverse_flow.h"
#include "compute/rupture.h"
#include "compute/salts_effect.h"
#include "compute/second.h"
#include "compute/sour.h"
#include "compute/share.h"
#include "compute/steam.h"
#include "compute/streams.h"
#include "compute/surface.h"
#include "compute/upset.h"
#include "compute/wall.h"
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

/* What flows, how fast, and how hot. */
static void compute_flows(struct table *table)
{
	analyses_compute(table);
	contents_compute(table);
	share_compute(table);
	streams_compute(table);
	if (gas_side_compute(table))
		streams_compute(table);
	ends_compute(table);
	steam_compute(table);
	outlets_compute(table);
	grade_compute(table);
	flash_carriers(table);
	medium_compute(table);
	film_bulk(table);
	restated_compute(table);
	carried_compute(table);
	hydraulics_compute(table);
	history_compute(table);
	flash_erosion(table);
	local_compute(table);
	second_compute(table); /* after all that runs faster where more flashes */
}

/* Metal and its condition, then the solution round the circuit and what is stated of it twice. */
static void compute_circuit(struct table *table)
{
	metal_compute(table);
	contact_compute(table);
	condition_compute(table);
	lean_welds_compute(table);
	amine_flow_compute(table);
	surface_compute(table);
	lean_rich_compute(table);
	absorber_compute(table);
	salts_effect_compute(table);
	balance_compute(table);
	judged_compute(table);
	overhead_compute(table);
	regenerator_compute(table); /* after the balances: its feed is held against lean plus gas */
	balance_of_regenerators(table);
	nodes_compute(table);
	copied_compute(table);
}

/* What each piece of equipment can do and bear. */
static void compute_equipment(struct table *table)
{
	overhead_condensing(table);
	surface_transfer(table);
	film_compute(table);
	capacity_compute(table);
	interface_compute(table);
	holdup_compute(table);
	pump_compute(table);
	loads_compute(table);
	census_compute(table);
	documents_compute(table);
	protection_compute(table);
	relief_compute(table);
	envelope_compute(table);
	rupture_compute(table);
	reverse_flow_compute(table);
	blow_by_compute(table);
	wall_compute(table);
	fit_compute(table);
	upset_compute(table);
	reach_compute(table);
	sour_compute(table);
	dissolved_compute(table);
}

static struct table *compute_all(struct arena *arena, const struct table *resolved, const struct quantity *film_age)
{
	struct table *table = table_overlay(arena, resolved);
	put_film_age(table, film_age);
	compute_flows(table);
	compute_circuit(table);
	compute_equipment(table);
	owed_compute(table);
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
	struct table *table = compute_all(arena, resolved, asked.film_age);
	const struct reconciliations *reconciled = reconcile_compute(table);
	return (struct computed_unit){
		.table = table, .reconciled = reconciled, .lean_side = lean_side_compute(table, !asked.no_samples)};
}

const struct table *compute_table(struct arena *arena, const struct table *resolved, bool analyses)
{
	struct table *table = compute_all(arena, resolved, NULL);
	if (!analyses)
		return table;
	reconcile_compute(table);
	lean_side_put(table);
	return table;
}

const struct table *compute_with_another(struct arena *arena, const struct table *resolved)
{
	struct table *table = compute_all(arena, resolved, NULL);
	lean_side_put(table);
	return table;
}
