/*
 * The hot rich end at two correlations: where they are more than a quarter apart, flashing, mixture velocity and valve rules
 * are judged at both, and what departs by one only is not firm and shows both values. The units are invented.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/phase.h"
#include "chemistry/published.h"
#include "review_support.h"
#include "write/write.h"

static struct trial trial;

/* A rich line, its exchanger side and its letdown valve, at `pressure` bara and 105 degC; a tower at 1.7 bara. */
static void review_rich(const char *solvent, const char *loadings, const char *pressure, const char *flow)
{
	trial_open(&trial, NULL);
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new' "
			"barometric-pressure='1.01325 bara'><case id='normal'/></basis><solvent %s/>"
			"<stream id='cold' service='rich' flow='%s' temperature='60 degC' pressure='%s bara' %s/>"
			"<stream id='hot' service='rich' flow='%s' temperature='105 degC' pressure='%s bara' %s/>"
			"<stream id='lean' service='lean' flow='30 t/h' temperature='121 degC' pressure='1.9 bara' "
			"h2s='0.01' co2='0.01'/>"
			"<exchanger tag='E-1' service='lean/rich'><tube-side inlet='cold' outlet='hot'/></exchanger>"
			"<regenerator tag='C-1' feed='hot' lean='lean' top-pressure='1.7 bara'>"
			"<nozzle tag='N-1' stream='hot' size='NPS 6' schedule='40' inlet-device='none'/></regenerator>"
			"<line tag='L-1' stream='hot' size='NPS 6' schedule='40' material='316L'>"
			"<valve tag='V-1' role='letdown' distance-to-vessel='0.5 m' downstream-pressure='1.7 "
			"bara'/></line>"
			"</unit>",
			solvent, flow, pressure, loadings, flow, pressure, loadings));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

static const struct finding *found(const char *rule, const char *item)
{
	const struct finding *finding = trial_finding(&trial, rule, item);

	cr_assert_not_null(finding, "%s on %s", rule, item);
	return finding;
}

static const char dea[] = "amine='DEA' strength='30 wt%'", dea_rich[] = "h2s='0.10' co2='0.40'";
static const char mdea[] = "amine='MDEA' strength='45 wt%'", mdea_rich[] = "h2s='0.20' co2='0.20'";

/* Bubble pressures of the DEA above at 105 degC, bara: by this program and by Kent and Eisenberg. */
static void both(double *own, double *other)
{
	struct solution_input input = {.temperature = 105 + 273.15, .loading = {0.10, 0.40}}, follows;
	struct published by;

	input.mass_fraction[AMINE_DEA] = 0.30;
	cr_assert(published_state(&terms_own, &input, &follows, &by));
	*own = phase_bubble_pressure(&terms_own, &input) / 1e5;
	*other = phase_bubble_pressure(&terms_own, &follows) / 1e5;
	cr_assert(*other > 1.25 * *own, "%g, %g", *own, *other);
}

static const char *bara(double pressure)
{
	static char words[32];

	snprintf(words, sizeof words, "%.3f", pressure);
	return words;
}

/* Between the two bubble pressures every rule on flashing departs by one only: reported, not firm, with both values. */
Test(second, departs_by_one_only)
{
	static const char *const rules[][2] = {{"FLS-001", "L-1"}, {"FLS-002", "E-1 tube side"}, {"FLS-004", "V-1"}};
	double own, other;

	both(&own, &other);
	review_rich(dea, dea_rich, bara((own + other) / 2), "30 t/h");
	for (size_t i = 0; i < COUNT(rules); i++) {
		const struct finding *finding = found(rules[i][0], rules[i][1]);

		cr_expect_eq(finding->verdict, VERDICT_DEPARTS, "%s", rules[i][0]);
		cr_expect_geq(finding->certainty, CERTAINTY_SCREENING, "%s", rules[i][0]);
		cr_assert_not_null(finding->assumed, "%s", rules[i][0]);
		cr_expect(strstr(finding->assumed, "by one of the two only"), "%s", finding->assumed);
		cr_expect(strstr(finding->assumed, "Kent and Eisenberg 1976"), "%s", finding->assumed);
		cr_expect(strstr(finding->assumed, "bar by the chemistry of this program"), "%s", finding->assumed);
	}
	trial_close(&trial);
}

/* Above both it meets, below both it departs, and neither is called unsettled. */
Test(second, by_both_it_is_settled)
{
	double own, other;

	both(&own, &other);
	review_rich(dea, dea_rich, bara(1.1 * other), "30 t/h");
	cr_expect_eq(found("FLS-001", "L-1")->verdict, VERDICT_MEETS);
	cr_expect_null(found("FLS-001", "L-1")->assumed);
	trial_close(&trial);
	review_rich(dea, dea_rich, bara(0.9 * own), "30 t/h");
	cr_expect_eq(found("FLS-001", "L-1")->verdict, VERDICT_DEPARTS);
	cr_expect_null(found("FLS-001", "L-1")->assumed);
	cr_expect_eq(found("FLS-004", "V-1")->verdict, VERDICT_DEPARTS);
	trial_close(&trial);
}

/* MDEA, where the two are within a quarter, and MEA, of which there is no other correlation here, have no second. */
Test(second, only_where_they_are_apart)
{
	review_rich(mdea, mdea_rich, "6", "30 t/h");
	const struct quantity *bubble = trial_value(&trial, "hot", NULL, "bubble-pressure");
	cr_expect(bubble->known == COMPUTED && !bubble->second);
	trial_close(&trial);
	review_rich("amine='MEA' strength='30 wt%'", "h2s='0.10' co2='0.40'", "6", "30 t/h");
	bubble = trial_value(&trial, "hot", NULL, "bubble-pressure");
	cr_expect(bubble->known == COMPUTED && !bubble->second);
	trial_close(&trial);
	review_rich(dea, dea_rich, "6", "30 t/h");
	bubble = trial_value(&trial, "hot", NULL, "bubble-pressure");
	double own, other;
	both(&own, &other);
	cr_assert(bubble->second != NULL);
	cr_expect_float_eq(bubble->si, 1e5 * own, 1);
	cr_expect_float_eq(bubble->second->si, 1e5 * other, 1);
	cr_expect_str_eq(bubble->second->formula->source, "kent1976");
	trial_close(&trial);
}

/*
 * Behind the valve the mixture by the other correlation is lighter and faster: the same mass, so velocity and momentum flux
 * go with the densities. A flow between the two limits of 10 m/s departs by one only.
 */
Test(second, mixture_velocity_at_both)
{
	review_rich(dea, dea_rich, "9", "30 t/h");
	const struct quantity *velocity = trial_value(&trial, "N-1", NULL, "velocity");
	const struct quantity *density = trial_value(&trial, "N-1", NULL, "density");
	const struct quantity *flux = trial_value(&trial, "N-1", NULL, "momentum-flux");
	cr_assert(velocity->second && density->second && flux->second);
	cr_expect(velocity->second->si > 1.05 * velocity->si, "%g, %g", velocity->si, velocity->second->si);
	cr_expect_float_eq(velocity->second->si * density->second->si, velocity->si * density->si,
		1e-6 * velocity->si * density->si);
	cr_expect_float_eq(flux->second->si, density->second->si * velocity->second->si * velocity->second->si,
		1e-6 * flux->second->si);
	double between = sqrt(velocity->si * velocity->second->si);
	char flow[32];
	snprintf(flow, sizeof flow, "%.4f t/h", 30 * 10 / between);
	review_rich(dea, dea_rich, "9", flow);
	const struct finding *finding = found("FLS-005", "N-1");
	cr_expect_eq(finding->verdict, VERDICT_DEPARTS, "%s", finding->message);
	cr_expect(finding->assumed && strstr(finding->assumed, "m/s by the chemistry of this program"), "%s",
		finding->assumed ? finding->assumed : "firm");
	trial_close(&trial);
}

/* Both values are in the working of the record. */
Test(second, the_record_has_both)
{
	double own, other;
	char *bytes = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&bytes, &size);

	both(&own, &other);
	review_rich(dea, dea_rich, bara((own + other) / 2), "30 t/h");
	cr_assert(write_json(trial.review, out));
	fclose(out);
	cr_expect_not_null(strstr(bytes, "\"second_by\": \"Kent and Eisenberg 1976\""));
	free(bytes);
	trial_close(&trial);
}
