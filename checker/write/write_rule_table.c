/* The one table of rules: what each is about, what it leads to, on what it rests, its force and why; and how many there are of each. */
#include "write/write.h"

#include "judge/evidence.h"

static void print_rule(const struct rule *rule, FILE *out)
{
	enum force computed = evidence_force(rule->evidence, rule->consequence);
	const char *beside = !rule->held ? ""
		: rule->force < computed ? "held above: "
		: rule->force > computed ? "held below: "
					 : "held: ";
	fprintf(out, "%s\t%s\t%s\t%s\t%s\t%s%s\n", rule->id, rule->matter, consequence_word(rule->consequence),
		evidence_word(rule->evidence), force_word(rule->force), beside, rule->why_force);
}

static void print_forces(const struct catalogue *catalogue, FILE *out)
{
	fprintf(out, "\nevidence\trequired\trecommended\tadvisory\n");
	for (int evidence = 0; evidence <= EVIDENCE_PRACTICE; evidence++) {
		size_t counts[FORCE_ADVISORY + 1] = {0};
		for (size_t i = 0; i < catalogue->rule_count; i++)
			if ((int)catalogue->rules[i].evidence == evidence)
				counts[catalogue->rules[i].force]++;
		fprintf(out, "%s\t%zu\t%zu\t%zu\n", evidence_word((enum evidence)evidence), counts[FORCE_REQUIRED],
			counts[FORCE_RECOMMENDED], counts[FORCE_ADVISORY]);
	}
}

static void print_readings(const struct catalogue *catalogue, FILE *out)
{
	fprintf(out, "\nhow known\tlimits that can govern\tshown for context\n");
	for (int reading = 0; reading <= READING_COMMON_PRACTICE; reading++) {
		size_t counts[2] = {0};
		for (size_t i = 0; i < catalogue->rule_count; i++)
			for (size_t k = 0; k < catalogue->rules[i].limit_count; k++)
				if ((int)catalogue->rules[i].limits[k].reading == reading)
					counts[catalogue->rules[i].limits[k].context]++;
		fprintf(out, "%s\t%zu\t%zu\n", reading_word((enum reading)reading), counts[0], counts[1]);
	}
}

bool write_rule_table(const struct catalogue *catalogue, FILE *out)
{
	fprintf(out, "rule\tmatter\tconsequence\tevidence\tforce\twhy\n");
	for (size_t i = 0; i < catalogue->rule_count; i++)
		print_rule(&catalogue->rules[i], out);
	print_forces(catalogue, out);
	print_readings(catalogue, out);
	return !ferror(out);
}
