#include "judge/profile.h"

#include <string.h>

#include "judge/wording.h"

#include "base/text.h"

struct applying {
	struct arena *arena;
	struct catalogue *catalogue;
	struct rule *rules;
	struct problems *problems;
	struct profile_change *changes;
	size_t change_capacity;
};

static struct rule *rule_named(struct applying *applying, const struct element *override)
{
	const char *id = element_attribute(override, "rule");
	for (size_t i = 0; i < applying->catalogue->rule_count; i++)
		if (strcmp(applying->rules[i].id, id) == 0)
			return &applying->rules[i];
	const char *nearest = catalogue_nearest_rule(applying->catalogue, applying->arena, id);
	problem_add(applying->problems, PROBLEM_NO_SUCH_RULE, element_attribute_place(override, "rule"),
		"there is no rule '%s'%s%s%s", id, nearest ? "; did you mean '" : "", nearest ? nearest : "",
		nearest ? "'?" : "");
	return NULL;
}

/* The rule's limits become a copy of their own with room for one more. */
static struct limit *own_limits(struct applying *applying, struct rule *rule)
{
	struct limit *limits = arena_alloc(applying->arena, (rule->limit_count + 1) * sizeof *limits);
	if (rule->limit_count)
		memcpy(limits, rule->limits, rule->limit_count * sizeof *limits);
	rule->limits = limits;
	return limits;
}

static struct limit *limit_named(struct limit *limits, size_t count, const char *name)
{
	for (size_t i = 0; i < count; i++)
		if (strcmp(limits[i].name, name) == 0)
			return &limits[i];
	for (size_t i = 0; i < count; i++)
		if (limits[i].source && strcmp(limits[i].source->key, name) == 0)
			return &limits[i];
	return NULL;
}

static const char *limit_names(struct arena *arena, const struct rule *rule)
{
	struct text text = text_in(arena);
	for (size_t i = 0; i < rule->limit_count; i++) {
		const struct limit *limit = &rule->limits[i];
		text_addf(&text, "%s%s", i ? ", " : "",
			*limit->name || !limit->source ? limit->name : limit->source->key);
	}
	return text.data;
}

static void note_change(struct applying *applying, const struct rule *rule, const char *what, const char *why)
{
	struct catalogue *catalogue = applying->catalogue;
	applying->changes = arena_grow(applying->arena, applying->changes, catalogue->change_count,
		&applying->change_capacity, sizeof *applying->changes);
	applying->changes[catalogue->change_count++] = (struct profile_change){.rule = rule, .what = what, .why = why};
	catalogue->changes = applying->changes;
}

/* What a changed limit says now, beside what it said before; `before` NULL: it was not there. */
static void note_limit(struct applying *applying, const struct rule *rule, const struct limit *limit,
	const struct limit *before, const char *why)
{
	struct arena *arena = applying->arena;
	struct text what = text_in(arena);
	if (!limit->source)
		return;
	text_addf(&what, "%s (%s%s%s)", wording_limit(arena, limit), wording_source(arena, limit->source),
		*limit->clause ? ", " : "", limit->clause);
	if (!before)
		text_add(&what, " is added");
	else if (limit->value.si < before->value.si || limit->value.si > before->value.si)
		text_addf(&what, " in place of %s (%s)", wording_limit(arena, before),
			wording_source(arena, before->source));
	if (limit->governs && !(before && before->governs))
		text_add(&what, before ? " governs" : " and governs");
	if (before && before->governs && !limit->governs)
		text_add(&what, " no longer governs by rule");
	note_change(applying, rule, what.data, why);
}

static bool states_a_number(const struct element *override)
{
	return element_attribute(override, "at-most") || element_attribute(override, "below") ||
		element_attribute(override, "at-least") || element_attribute(override, "above");
}

/* A number of the profile's own needs a source of its own: nothing is changed anonymously. */
static void set_number(
	struct applying *applying, const struct rule *rule, const struct element *override, struct limit *limit)
{
	const char *key = element_attribute(override, "source"), *known = element_attribute(override, "known");
	const struct source *source = key ? catalogue_source(applying->catalogue, key) : NULL;
	if (rule->judged < 0) {
		problem_add(applying->problems, PROBLEM_BAD_RULE, override->place, "%s judges no number", rule->id);
		return;
	}
	if (!source || !known) {
		problem_add(applying->problems, PROBLEM_NO_SUCH_SOURCE, override->place,
			"an override of a number needs a source of the profile's own list and how it is known; '%s' is "
			"not in it",
			key ? key : "");
		return;
	}
	limit_value(applying->arena, override, rule->inputs[rule->judged].accepted, applying->problems, limit);
	limit->source = source;
	limit->reading = reading_from_word(known);
	limit->clause = element_attribute(override, "clause") ? element_attribute(override, "clause") : "";
	limit->evidence = source->evidence;
	limit->overridden = true;
}

static void change_limit(struct applying *applying, struct rule *rule, const struct element *override, const char *name)
{
	struct limit *limits = own_limits(applying, rule);
	struct limit *limit = limit_named(limits, rule->limit_count, name);
	if (!limit && !states_a_number(override)) {
		problem_add(applying->problems, PROBLEM_NO_SUCH_SOURCE, element_attribute_place(override, "limit"),
			"%s has no limit named or sourced '%s'; it has: %s", rule->id, name,
			limit_names(applying->arena, rule));
		return;
	}
	const struct limit before = limit ? *limit : (struct limit){.name = NULL};
	const char *why = element_attribute(override, "why");
	if (!limit) {
		limit = &limits[rule->limit_count++];
		*limit = (struct limit){
			.name = name, .clause = "", .confidence = "", .where = "", .place = override->place};
	}
	if (states_a_number(override))
		set_number(applying, rule, override, limit);
	const char *governs = element_attribute(override, "governs");
	if (governs) {
		bool pinned = strcmp(governs, "yes") == 0;
		for (size_t i = 0; pinned && i < rule->limit_count; i++)
			limits[i].governs = false;
		limit->governs = pinned;
		limit->overridden = true;
	}
	note_limit(applying, rule, limit, before.name ? &before : NULL, why ? why : "");
}

void profile_apply(struct arena *arena, struct catalogue *catalogue, struct rule *rules, const struct element *profile,
	struct problems *problems)
{
	struct applying applying = {.arena = arena, .catalogue = catalogue, .rules = rules, .problems = problems};
	const char *govern = element_attribute(profile, "govern");
	if (!element_is(profile, "profile")) {
		problem_add(problems, PROBLEM_NAMESPACE, profile->place, "<%s> is no profile", profile->meaning->name);
		return;
	}
	catalogue->profile_name = element_attribute(profile, "name");
	catalogue->profile_title = element_attribute(profile, "title");
	catalogue->strictest = govern && strcmp(govern, "strictest") == 0;
	for (size_t i = 0; i < profile->child_count; i++) {
		const struct element *override = profile->children[i];
		struct rule *rule = element_is(override, "override") ? rule_named(&applying, override) : NULL;
		if (!rule)
			continue;
		const char *force = element_attribute(override, "force"), *why = element_attribute(override, "why");
		const char *limit = element_attribute(override, "limit");
		if (force) {
			note_change(&applying, rule,
				arena_format(arena, "%s, by itself %s", force, force_word(rule->force)),
				why ? why : "");
			rule->force = force_from_word(force);
			rule->held = true;
			rule->why_force = why ? why : "the profile says so";
			rule->force_change_count = 0;
		}
		if (limit)
			change_limit(&applying, rule, override, limit);
	}
}
