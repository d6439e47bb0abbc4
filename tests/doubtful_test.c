/*
 * Values that physics allows and no amine unit has: each row of doubtful.def on either side of its ends, and who
 * says so. The ends are common practice, no source.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "resolve/doubtful.h"
#include "review_support.h"

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(doubtful, .init = begin, .fini = end);

/* What is said of one stated value: NULL, and nothing may be. */
struct row {
	const char *body, *says;
};

#define STREAM(service, values) "<stream id='s' service='" service "' " values "/>"
#define GAS(values) "<gas id='g' role='feed' " values "/>"

Test(doubtful, each_value_on_either_side)
{
	const struct row rows[] = {
		{STREAM("lean", "temperature='900 degC'"), "temperature of s, 900 degC, is above 180 degC"},
		{STREAM("lean", "temperature='150 degC'"), NULL},
		{STREAM("rich", "temperature='-40 degC'"), "temperature of s, -40 degC, is below -20"},
		{STREAM("steam", "temperature='300 degC'"), NULL}, /* no amine */
		{STREAM("lean", "pressure='0.05 bara'"), "pressure of s, 0.05 bara, is below 0.2"},
		{STREAM("lean", "pressure='0.3 bara'"), NULL}, /* from a vacuum regenerator */
		{STREAM("rich", "pressure='900 barg'"), "is above 400"},
		{STREAM("rich", "h2s='3' co2='0.2'"), "h2s of s, 3, is above 2"},
		{STREAM("rich", "h2s='0.3' co2='0.2'"), NULL},
		{STREAM("rich", "temperature='&gt;190 degC'"), "above 180 degC"},
		{STREAM("rich", "temperature='&lt;190 degC'"), NULL}, /* may be 60 */
		{GAS("temperature='400 degC'"), "temperature of g, 400 degC, is above 200"},
		{GAS("pressure='0.1 bara'"), "pressure of g"},
		{GAS("temperature='45 degC' pressure='70 bara'"), NULL},
	};

	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_review_unit(&trial, "MDEA", rows[i].body);
		cr_assert_not_null(trial.table, "%s: %s", rows[i].body, trial_messages(&trial));
		struct doubtful doubtful = doubtful_statements(&trial.arena, trial.table);
		cr_expect_eq(doubtful.count, rows[i].says ? 1 : 0, "%s: %zu, %s", rows[i].body, doubtful.count,
			doubtful.count ? doubtful.words[0] : "");
		if (rows[i].says && doubtful.count)
			cr_expect_not_null(strstr(doubtful.words[0], rows[i].says), "%s", doubtful.words[0]);
	}
}

/* The small unit of the documents with a slip in each of two values: both commands say both, as text and in the record. */
Test(doubtful, cases_and_permits_say_so, .init = shell_begin, .fini = shell_end)
{
	struct run run = shell(&trial.arena,
		"sed -e 's/18 wt%/98 wt%/' -e 's/temperature=\"40 degC\" pressure/temperature=\"900 degC\" pressure/' "
		"designs/marram-point.xml >$SCRATCH/slips.xml; cd $SCRATCH; "
		"$LEANRICH permits --tries 4 --rule VEL-002 slips.xml | grep -c '^Note: .*no amine unit has'; "
		"$LEANRICH permits --tries 4 --rule VEL-002 --json slips.xml | grep -c 'which no amine unit has'; "
		"$LEANRICH cases --output out slips.xml | grep -c 'Note: .*no amine unit has'");

	cr_expect_str_eq(run.output, "2\n2\n2\n", "%s%s", run.output, run.errors);
	trial_close(&trial);
}

/* A sound unit: not a word. */
Test(doubtful, a_sound_unit_has_none)
{
	static const char *const units[] = {"designs/tern-quay.xml", "designs/saltmarsh-lea.xml",
		"designs/cobble-hythe.xml", "designs/heron-gate.xml", "designs/marram-point.xml"};

	for (size_t i = 0; i < COUNT(units); i++) {
		trial_review_file(&trial, units[i]);
		struct doubtful doubtful = doubtful_statements(&trial.arena, trial.table);
		cr_expect_eq(doubtful.count, 0, "%s: %s", units[i], doubtful.count ? doubtful.words[0] : "");
	}
}
