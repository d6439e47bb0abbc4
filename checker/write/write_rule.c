/* One rule for a terminal: what it looks at, its limits and where they were published, why, what to do, examples. */
#include "write/write.h"

#include "judge/wording.h"
#include "record/accounts.h"

static void print_conditions(struct conditions conditions, FILE *out)
{
	for (size_t i = 0; i < conditions.count; i++)
		fprintf(out, ", %s %s", conditions.rows[i].name, conditions.rows[i].words);
}

static void print_limits(struct arena *arena, const struct rule *rule, FILE *out)
{
	for (size_t i = 0; i < rule->limit_count; i++) {
		const struct limit *limit = &rule->limits[i];
		fprintf(out, "  %s\n      %s%s%s, %s", wording_limit(arena, limit),
			wording_source(arena, limit->source), *limit->clause ? ": " : "", limit->clause,
			wording_reading(arena, limit));
		if (*limit->where)
			fprintf(out, ", for %s", limit->where);
		print_conditions(limit->narrowing, out);
		fprintf(out, "%s%s%s\n", limit->governs ? ", governs" : "", limit->context ? ", shown for context" : "",
			limit->overridden ? ", set by the profile" : "");
	}
}

/* The published failures that are told beside its findings. */
static void print_accounts(struct arena *arena, const struct catalogue *catalogue, const struct rule *rule, FILE *out)
{
	const struct account *account;
	bool first = true;
	for (size_t i = 0; (account = account_at(i)) != NULL; i++) {
		const struct source *source = catalogue_source(catalogue, account->source);
		if (!source || !account_is_on(account, rule->matter))
			continue;
		fprintf(out, "%s  %s\n      %s\n      %s: %s%s%s\n",
			first ? "\nPublished failures on this matter\n" : "", account->name, account->happened,
			wording_source(arena, source), source->title, *account->clause ? "; " : "", account->clause);
		first = false;
	}
}

void write_rule(struct arena *arena, const struct catalogue *catalogue, const struct rule *rule, FILE *out)
{
	fprintf(out, "%s  %s\n%s: %s\n", rule->id, rule->title, force_word(rule->force), rule->why_force);
	fprintf(out, "on %s; a departure leads to: %s; founded on: %s\n", rule->matter,
		consequence_word(rule->consequence), evidence_meaning(rule->evidence));
	for (size_t i = 0; i < rule->force_change_count; i++)
		fprintf(out, "%s where the package claims %s: %s\n", force_word(rule->force_changes[i].force),
			rule->force_changes[i].code, rule->force_changes[i].why);
	fprintf(out, "\nLooks at\n");
	for (size_t i = 0; i < rule->selection_count; i++) {
		fprintf(out, "  %s", wording_kinds(arena, &rule->selections[i]));
		print_conditions(rule->selections[i].conditions, out);
		fprintf(out, "\n");
	}
	for (size_t i = 0; i < rule->when.count; i++)
		fprintf(out, "  when %s\n", rule->when.rows[i].written);
	for (size_t i = 0; i < rule->met_if.count; i++)
		fprintf(out, "  met in any case if %s\n", rule->met_if.rows[i].written);
	if (rule->assertion)
		fprintf(out, "  asserts %s\n", rule->assertion->written);
	fprintf(out, "\nInputs\n");
	for (size_t i = 0; i < rule->input_count; i++) {
		const struct rule_input *input = &rule->inputs[i];
		if (input->constant)
			fprintf(out, "  %s = %s\n", input->name, wording_constant(arena, input));
		else
			fprintf(out, "  %s: %s%s%s%s%s%s%s%s\n", input->name, input->quantity, *input->of ? " of " : "",
				input->of, input->absent ? "; where not stated: " : "",
				input->absent ? quantity_show(arena, input->absent, NULL) : "",
				*input->absent_why ? " (" : "", input->absent_why, *input->absent_why ? ")" : "");
	}
	fprintf(out, "\nLimits\n");
	print_limits(arena, rule, out);
	fprintf(out, "\nWhy\n  %s\n\nWhat to do\n  %s\n", rule->why, rule->remedy);
	print_accounts(arena, catalogue, rule, out);
	fprintf(out, "\nExamples\n");
	for (size_t i = 0; i < rule->example_count; i++) {
		fprintf(out, "  %s:", verdict_word(rule->examples[i].verdict));
		for (size_t k = 0; k < rule->examples[i].count; k++)
			fprintf(out, " %s=%s", rule->examples[i].values[k].name, rule->examples[i].values[k].words);
		fprintf(out, "\n");
	}
}
