#include "judge/rule_read.h"

#include <stdlib.h>
#include <string.h>

#include "judge/profile.h"

const struct source *catalogue_builder_source(const struct catalogue_builder *builder, const char *key)
{
	for (size_t i = 0; builder->sources && i < builder->catalogue->source_count; i++)
		if (strcmp(builder->sources[i].key, key) == 0)
			return &builder->sources[i];
	return NULL;
}

/* Without a word for it: what is known as practice is; an unnamed source is some company's; any other is published. */
static enum evidence evidence_of_source(const struct element *element, const struct source *source)
{
	const char *word = element_attribute(element, "evidence");
	if (word)
		return evidence_from_word(word);
	return source->reading == READING_COMMON_PRACTICE ? EVIDENCE_PRACTICE
		: source->named				  ? EVIDENCE_PUBLISHED
							  : EVIDENCE_COMPANY;
}

static void read_source(struct catalogue_builder *builder, const struct element *element)
{
	struct source source = {
		.key = element_attribute(element, "key"),
		.author = element_attribute(element, "author"),
		.title = element_attribute(element, "title"),
		.year = element_attribute_or(element, "year", ""),
		.edition = element_attribute_or(element, "edition", ""),
		.publisher = element_attribute_or(element, "publisher", ""),
		.through = element_attribute_or(element, "through", ""),
		.reading = reading_from_word(element_attribute(element, "known")),
		.named = strcmp(element_attribute_or(element, "named", "yes"), "yes") == 0,
		.place = element->place,
	};
	source.evidence = evidence_of_source(element, &source);
	if (catalogue_builder_source(builder, source.key)) {
		problem_add(
			builder->problems, PROBLEM_DUPLICATE, element->place, "source '%s' occurs twice", source.key);
		return;
	}
	builder->sources = arena_grow(builder->arena, builder->sources, builder->catalogue->source_count,
		&builder->source_capacity, sizeof *builder->sources);
	builder->sources[builder->catalogue->source_count++] = source;
}

static void read_sources_of(struct catalogue_builder *builder, const struct element *root)
{
	for (size_t i = 0; root && i < root->child_count; i++)
		if (element_is(root->children[i], "source"))
			read_source(builder, root->children[i]);
}

static void read_rules_of(struct catalogue_builder *builder, const struct element *root)
{
	if (!root || !element_is(root, "rules"))
		return;
	struct family family = {.name = element_attribute(root, "family"),
		.prefix = element_attribute(root, "prefix"),
		.title = element_attribute(root, "title")};
	builder->families = arena_grow(builder->arena, builder->families, builder->catalogue->family_count,
		&builder->family_capacity, sizeof *builder->families);
	builder->families[builder->catalogue->family_count++] = family;
	rule_check_id(builder, root, "prefix");
	for (size_t i = 0; i < root->child_count; i++)
		rule_read(builder, root->children[i], &family);
}

static int by_id(const void *a, const void *b)
{
	return strcmp(((const struct rule *)a)->id, ((const struct rule *)b)->id);
}

static int by_key(const void *a, const void *b)
{
	return strcmp(((const struct source *)a)->key, ((const struct source *)b)->key);
}

static void check_ids(const struct catalogue_builder *builder)
{
	for (size_t i = 1; builder->rules && i < builder->catalogue->rule_count; i++)
		if (strcmp(builder->rules[i - 1].id, builder->rules[i].id) == 0)
			problem_add(builder->problems, PROBLEM_DUPLICATE, builder->rules[i].place,
				"the rule id '%s' occurs twice, first at %s:%d", builder->rules[i].id,
				builder->rules[i - 1].place.file, builder->rules[i - 1].place.line);
}

/* A file with faults of structure is not read further. */
static const struct element *parse_file(
	struct catalogue_builder *builder, const struct rule_file *file, const struct vocabulary *vocabulary)
{
	size_t before = builder->problems->count;
	struct vocabulary proven = *vocabulary;
	proven.proven = true;
	const struct element *root = element_parse(builder->arena, file->name, file->bytes, file->size,
		file->built_in ? &proven : vocabulary, builder->problems);
	return builder->problems->count == before ? root : NULL;
}

const struct catalogue *catalogue_read(struct arena *arena, const struct rule_file *files, size_t file_count,
	const struct rule_file *profile, const struct vocabulary *vocabulary, struct problems *problems)
{
	struct catalogue *catalogue = arena_alloc(arena, sizeof *catalogue);
	struct catalogue_builder builder = {.arena = arena, .problems = problems, .catalogue = catalogue};
	size_t before = problems->count;
	const struct element **roots = arena_alloc(arena, file_count * sizeof *roots);
	for (size_t i = 0; i < file_count; i++)
		roots[i] = parse_file(&builder, &files[i], vocabulary);
	const struct element *chosen = profile ? parse_file(&builder, profile, vocabulary) : NULL;
	for (size_t i = 0; i < file_count; i++)
		read_sources_of(&builder, roots[i]);
	read_sources_of(&builder, chosen);
	if (builder.sources)
		qsort(builder.sources, catalogue->source_count, sizeof *builder.sources,
			by_key); /* before rules point to them */
	for (size_t i = 0; i < file_count; i++)
		read_rules_of(&builder, roots[i]);
	if (builder.rules)
		qsort(builder.rules, catalogue->rule_count, sizeof *builder.rules, by_id);
	check_ids(&builder);
	catalogue->rules = builder.rules;

	catalogue->sources = builder.sources;
	catalogue->families = builder.families;
	if (chosen)
		profile_apply(arena, catalogue, builder.rules, chosen, problems);
	if (problems->count == before)
		return catalogue;
	catalogue_release(catalogue);
	return NULL;
}
