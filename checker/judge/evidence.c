#include "judge/evidence.h"

#include <string.h>

void evidence_add(struct evidence_sum *sum, const struct limit *limit)
{
	if (limit->context || !limit->source)
		return;
	enum evidence evidence = limit->evidence;
	if (evidence == EVIDENCE_PUBLISHED) {
		if (sum->author && strcmp(sum->author, limit->source->author) != 0)
			evidence = EVIDENCE_TWO_PUBLISHED;
		sum->author = limit->source->author;
	}
	sum->best = !sum->any || evidence < sum->best ? evidence : sum->best;
	sum->any = true;
}

enum evidence evidence_of(const struct evidence_sum *sum)
{
	return sum->any ? sum->best : EVIDENCE_PRACTICE;
}

enum evidence evidence_of_limits(const struct limit *limits, size_t count)
{
	struct evidence_sum sum = {0};
	for (size_t i = 0; i < count; i++)
		evidence_add(&sum, &limits[i]);
	return evidence_of(&sum);
}

/* A row for each evidence, a column for each consequence: loss of containment, specification, capacity, reliability, cost, paper. */
static const char forces[][CONSEQUENCE_PAPER + 2] = {
	[EVIDENCE_CODE] = "RRJJJJ",
	[EVIDENCE_PHYSICS] = "RRRJCJ",
	[EVIDENCE_RECOMMENDED_PRACTICE] = "JJJJCC",
	[EVIDENCE_TWO_PUBLISHED] = "JJJJCC",
	[EVIDENCE_PUBLISHED] = "JCCCCC",
	[EVIDENCE_COMPANY] = "CCCCCC",
	[EVIDENCE_PRACTICE] = "CCCCCC",
};

enum force evidence_force(enum evidence evidence, enum consequence consequence)
{
	char letter = forces[evidence][consequence];
	return letter == 'R' ? FORCE_REQUIRED : letter == 'J' ? FORCE_RECOMMENDED : FORCE_ADVISORY;
}

bool evidence_is_founded(enum evidence evidence)
{
	return evidence < EVIDENCE_COMPANY;
}
