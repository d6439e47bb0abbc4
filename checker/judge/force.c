#include "judge/force.h"

#include <string.h>

#include "judge/evidence.h"

/* ---- far beyond ---- */

/* What reads as several times; a choice of this program. */
static const double SEVERAL = 3;

/* A departure of several times the limit, or down to one of so many parts of it, that no assumption made. */
static bool is_far_beyond(const struct finding *finding)
{
	const struct limit_result *row = finding->governing;
	if (finding->verdict != VERDICT_DEPARTS || finding->assumed || !row || row->limit->says || !finding->value ||
		finding->value->bound != BOUND_NONE || !kind_counts_from_zero(finding->value->kind))
		return false;
	bool upper = row->limit->relation == RELATION_AT_MOST || row->limit->relation == RELATION_BELOW;
	return row->at > 0 &&
		(upper ? quantity_low(finding->value) >= SEVERAL * row->at
		       : quantity_high(finding->value) <= row->at / SEVERAL);
}

/* An advisory figure may be a matter of taste; several times it is a matter to be justified, unless only money or paper is at stake. */
static void set_far_beyond(struct finding *finding)
{
	const struct rule *rule = finding->rule;
	if (finding->force != FORCE_ADVISORY || rule->consequence >= CONSEQUENCE_COST ||
		rule->certainty == CERTAINTY_DISPUTED || !is_far_beyond(finding))
		return;
	finding->force = FORCE_RECOMMENDED;
	finding->why_force = "several times beyond an advisory limit";
}

/* ---- by evidence and by code ---- */

static bool claims_code(const struct table *table, const char *code)
{
	struct items codes = table_of_kind(table, "code");
	for (size_t i = 0; i < codes.count; i++)
		if (strstr(codes.rows[i]->text, code)) {
			table_read_text(table, codes.rows[i]);
			return true;
		}
	return false;
}

/* Of a departure: the limits that it departs from, not all that the rule shows. What the owner set has the force of its rule. */
static void set_by_evidence(struct finding *finding)
{
	struct evidence_sum sum = {0};
	for (size_t i = 0; i < finding->limit_count; i++)
		if (finding->limits[i].applied && finding->limits[i].met == NO)
			evidence_add(&sum, finding->limits[i].limit);
	bool owned = finding->governing && finding->governing->limit->overridden;
	if (!sum.any || owned || evidence_of(&sum) == finding->rule->evidence)
		return;
	finding->force = evidence_force(evidence_of(&sum), finding->rule->consequence);
	finding->why_force = evidence_meaning(evidence_of(&sum));
}

/*
 * Physics forbids what lies beyond the uncertainty of what was calculated, and a screening shows no more; nearer than that it is
 * for the designer to show.
 */
static void set_within_model(struct finding *finding)
{
	if (finding->force != FORCE_REQUIRED || finding->rule->held || finding->verdict != VERDICT_DEPARTS ||
		finding->certainty != CERTAINTY_BORDERLINE ||
		(finding->rule->evidence != EVIDENCE_PHYSICS && finding->rule->certainty != CERTAINTY_SCREENING) ||
		!finding->value || finding->value->known != COMPUTED)
		return;
	finding->force = FORCE_RECOMMENDED;
	finding->why_force = finding->rule->evidence == EVIDENCE_PHYSICS
		? "physics, but nearer to the limit than the calculation is uncertain"
		: "a screening, nearer to the limit than it is uncertain";
}

/*
 * A usual figure that is passed by less than the value itself is uncertain by: nobody can tell on which side of it the unit
 * stands, and a reviewer writes no comment on it. It is told in the record. What can be released is asked for all the same.
 */
static void set_at_usual_figure(struct finding *finding)
{
	if (finding->verdict == VERDICT_DEPARTS && finding->force == FORCE_ADVISORY && finding->governing &&
		finding->governing->borderline && finding->rule->consequence != CONSEQUENCE_LOSS_OF_CONTAINMENT)
		finding->remark = true;
}

void force_set(const struct table *table, struct finding *finding)
{
	const struct rule *rule = finding->rule;
	finding->force = rule->force;
	finding->why_force = rule->why_force;
	if (!rule->held && finding->verdict == VERDICT_DEPARTS)
		set_by_evidence(finding);
	for (size_t i = 0; i < rule->force_change_count; i++)
		if (rule->force_changes[i].force < finding->force && claims_code(table, rule->force_changes[i].code)) {
			finding->force = rule->force_changes[i].force;
			finding->why_force = rule->force_changes[i].why;
		}
	set_far_beyond(finding);
	set_within_model(finding);
	set_at_usual_figure(finding);
}
