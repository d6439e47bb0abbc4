#include "meeting_support.h"

#include <criterion/criterion.h>

struct trial meeting;

void meeting_begin(void)
{
	trial_open(&meeting, NULL);
}

void meeting_end(void)
{
	trial_close(&meeting);
}

#define CASES                                                                                                          \
	"<basis kind='new' barometric-pressure='1.01325 bara'><case id='normal'/><case id='summer' "                   \
	"title='Hot'/></basis>"
#define MDEA "<solvent amine='MDEA' strength='45 wt%%'/>"

void meeting_review(const char *body)
{
	trial_review(&meeting,
		arena_format(&meeting.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'>" CASES MDEA
			"<line tag='Z'><in case='summer' velocity='1 m/s'/></line>%s</unit>",
			body));
	cr_assert_not_null(meeting.review, "%s: %s", body, trial_messages(&meeting));
}

size_t meeting_contradictions(void)
{
	return table_of_kind(meeting.table, "contradiction").count;
}

const char *meeting_text(const char *item, const char *name)
{
	const struct item *found = table_find(meeting.table, item);
	const char *word = found ? table_word(meeting.table, found, EVERY_CASE, name) : NULL;
	return word ? word : "";
}

const struct finding *meeting_finding(const char *rule, const char *item)
{
	const struct finding *found = trial_finding(&meeting, rule, item);
	cr_assert_not_null(found, "%s does not select %s", rule, item);
	return found;
}
