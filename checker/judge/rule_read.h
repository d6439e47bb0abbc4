/* One rule from its element, checked and compiled: what catalogue_read.c does for each of a file. */
#ifndef LEANRICH_RULE_READ_H
#define LEANRICH_RULE_READ_H

#include "judge/catalogue.h"
#include "read/element.h"

/* The catalogue while its files are read. */
struct catalogue_builder {
	struct arena *arena;
	struct problems *problems;
	struct catalogue *catalogue;
	struct rule *rules;
	size_t rule_capacity;
	struct source *sources;
	size_t source_capacity;
	struct family *families;
	size_t family_capacity;
	struct expression *every;
	size_t every_capacity;
};

/* The rule, added to the catalogue; its faults go to the problems of the builder. The sources it cites must be there. */
void rule_read(struct catalogue_builder *builder, const struct element *element, const struct family *family);

/* An id is cited in deviations, replies and names of files: no blanks, no controls, nothing that a shell or a sheet reads. */
void rule_check_id(struct catalogue_builder *builder, const struct element *element, const char *attribute);

/* The source of this key among those read, or NULL. */
const struct source *catalogue_builder_source(const struct catalogue_builder *builder, const char *key);

/* Every attribute but those of `except` (names separated by blanks) as a word a thing must have. */
struct conditions catalogue_builder_conditions(
	struct catalogue_builder *builder, const struct element *element, const char *except);

/* The expression in an attribute that is there, over these variables; after a fault one that nothing evaluates. */
const struct expression *catalogue_builder_compile(struct catalogue_builder *builder, const struct element *element,
	const char *attribute, const struct variable *variables, size_t count);

#endif
