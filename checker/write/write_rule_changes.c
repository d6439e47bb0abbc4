/* What the remedies of the catalogue ask for: the changes of the description that can be tried, or that they are words only and why. */
#include "write/write.h"

static void print_part(const struct change_part *part, FILE *out)
{
	static const char *const verbs[] = {"set", "drop", "vary", "add", "remove"};
	fprintf(out, "%s%s%s%s%s", verbs[part->verb], *part->name ? " " : "", part->name, *part->of ? " of " : "",
		part->of);
	if (part->is)
		fprintf(out, " to %s", part->is);
	if (part->to)
		fprintf(out, " to %s%s%s", part->to->written, *part->toward ? ", " : "", part->toward);
	if (part->times)
		fprintf(out, " times %s", part->times->written);
	if (*part->step)
		fprintf(out, " to the %s", part->step);
	for (size_t i = 0; i < part->attributes.count; i++)
		fprintf(out, " %s=\"%s\"", part->attributes.rows[i].name, part->attributes.rows[i].words);
}

static void print_change(const struct rule *rule, const struct rule_change *change, FILE *out)
{
	fprintf(out, "%s\tchange\t", rule->id);
	for (size_t i = 0; i < change->part_count; i++) {
		fprintf(out, "%s", i ? "; " : "");
		print_part(&change->parts[i], out);
	}
	fprintf(out, "\n");
}

bool write_rule_changes(const struct catalogue *catalogue, FILE *out)
{
	size_t changed = 0, only = 0, changes = 0;
	fprintf(out, "rule\tremedy\twhat is changed, or why it is words only\n");
	for (size_t i = 0; i < catalogue->rule_count; i++) {
		const struct rule *rule = &catalogue->rules[i];
		for (size_t k = 0; k < rule->change_count; k++)
			print_change(rule, &rule->changes[k], out);
		if (!rule->change_count)
			fprintf(out, "%s\t%s\t%s\n", rule->id, *rule->only ? "words only" : "neither", rule->only);
		changed += rule->change_count > 0;
		changes += rule->change_count;
		only += *rule->only != '\0';
	}
	fprintf(out, "\n%zu remedies with %zu changes, %zu words only, %zu that say neither\n", changed, changes, only,
		catalogue->rule_count - changed - only);
	return !ferror(out);
}
