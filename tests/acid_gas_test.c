/*
 * Which gas the overhead of a column becomes. All figures are invented.
 */
#include <criterion/criterion.h>

#include "base/count.h"
#include "reconcile/acid_gas.h"
#include "review_support.h"

static const char unit[] =
	"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new' barometric-pressure='1.013 bara'/>"
	"<solvent amine='MDEA'/><gas id='wet' role='%s'/><gas id='dry' role='acid gas'/>"
	"<stream id='top' service='acid gas' from='C' to='E' gas='wet'/><condenser tag='E'/>"
	"<stream id='off' service='acid gas' from='D' %s/><regenerator tag='C' %s/><reflux-drum tag='D' %s/></unit>";

/* What the drum gives off, by its own word or by the stream that leaves it; the wet vapour only where nothing else is described. */
Test(acid_gas, it_is_what_leaves_the_drum)
{
	static const struct {
		const char *role, *leaving, *column, *drum, *found;
	} rows[] = {
		{"acid gas", "gas='dry'", "acid-gas='top'", "", "dry"},
		{"other", "gas='dry'", "acid-gas='top'", "", "dry"},
		{"acid gas", "", "acid-gas='top'", "acid-gas='dry'", "dry"},
		{"acid gas", "", "acid-gas='top'", "acid-gas='off'", "wet"},
		{"acid gas", "", "acid-gas='top'", "", "wet"},
		{"other", "", "", "", "dry"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct trial trial = {.review = NULL};
		trial_open(&trial, NULL);
		trial_review(&trial,
			arena_format(&trial.arena, unit, rows[i].role, rows[i].leaving, rows[i].column, rows[i].drum));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct item *found = acid_gas_of(trial.table, table_find(trial.table, "C"), 0);
		cr_assert_not_null(found, "row %zu", i);
		cr_expect_str_eq(found->tag, rows[i].found, "row %zu", i);
		trial_close(&trial);
	}
}
