#include "compute/documents.h"

#include <ctype.h>
#include <string.h>

#include "base/text.h"
#include "compute/scene.h"

static const char name[] = "documents-unlisted";

/* "HMB-310 rev B" is the document HMB-310. */
static bool is_document(const char *cited, const char *listed)
{
	size_t length = strlen(listed);
	return strncmp(cited, listed, length) == 0 && !isalnum((unsigned char)cited[length]);
}

static bool is_listed(const struct table *table, const char *cited)
{
	struct items documents = table_of_kind(table, "document");
	bool listed = false;
	for (size_t i = 0; i < documents.count && !listed; i++)
		listed = is_document(cited, documents.rows[i]->tag);
	return listed;
}

/* Each once, as first cited. */
static void add_unlisted(struct text *list, const struct table *table, const char *cited)
{
	if (*cited && !is_listed(table, cited) && !(list->length && strstr(list->data, cited)))
		text_addf(list, "%s%s", list->length ? ", " : "", cited);
}

void documents_compute(struct table *table)
{
	struct arena *arena = table_arena(table);
	const struct item *basis = table_sole(table, "basis");
	const struct quantity *all = basis ? table_get(table, basis, EVERY_CASE, "documents-complete") : NULL;
	struct text list = text_in(arena);
	size_t count;
	if (quantity_truth(all) != YES)
		return;
	const struct statement *statements = table_statements(table, &count);
	for (size_t i = 0; i < count; i++)
		if (statements[i].quantity->document)
			add_unlisted(&list, table, statements[i].quantity->document);
	table_put(table, basis, EVERY_CASE, name,
		quantity_assumed_word(
			arena, KIND_TEXT, list.length ? list.data : "none", "from the list of documents"));
}
