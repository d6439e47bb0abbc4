#include <string.h>

#include "base/text.h"
#include "import/source_edit.h"
#include "read/document.h"
#include "revamp/reply_tried.h"
#include "revamp/reply_edits.h"

struct patching {
	struct arena *arena;
	const struct document *document;
	struct source_edits edits;
	struct restated_list all;
	struct patched out;
};

/* ---- all edits, each once ---- */

/* Index of the edit of the same attribute of the same element; count: there is none. */
static size_t same_edit(const struct restated_list *list, const struct restated *edit)
{
	size_t i = 0;
	while (i < list->count &&
		(list->rows[i].element != edit->element || strcmp(list->rows[i].name, edit->name) != 0))
		i++;
	return i;
}

/* Of two replies that name other values of one attribute neither is taken. */
static void collect(struct patching *patching, struct restated_list some, struct restated_list *clashing)
{
	struct restated_list *all = &patching->all;
	for (size_t i = 0; i < some.count; i++) {
		size_t at = same_edit(all, &some.rows[i]);
		if (at == all->count) {
			all->rows =
				arena_grow(patching->arena, all->rows, all->count, &all->capacity, sizeof *all->rows);
			all->rows[all->count++] = some.rows[i];
		} else if (all->rows && !text_same(all->rows[at].written, some.rows[i].written) &&
			same_edit(clashing, &some.rows[i]) == clashing->count) {
			clashing->rows = arena_grow(patching->arena, clashing->rows, clashing->count,
				&clashing->capacity, sizeof *clashing->rows);
			clashing->rows[clashing->count++] = some.rows[i];
		}
	}
}

/* ---- in the file ---- */

static const xmlNode *node_of(const struct document *document, const xmlNode *node, const struct element *element)
{
	for (; node; node = node->next) {
		if (node->type != XML_ELEMENT_NODE)
			continue;
		struct place place = document_place(document, node);
		if (place.line == element->place.line && place.column == element->place.column)
			return node;
		const xmlNode *found = node_of(document, node->children, element);
		if (found)
			return found;
	}
	return NULL;
}

/* Would an operating case or another document's row state nothing any more? What says of which case or document it is, is no value. */
static bool is_emptied(const struct patching *patching, const struct element *element)
{
	if (!element_is(element, "in") && !element_is(element, "stated"))
		return false;
	for (size_t i = 0; i < element->attribute_count; i++) {
		const char *name = element->attributes[i].meaning->name;
		const struct restated edit = {.element = element, .name = name};
		size_t at = same_edit(&patching->all, &edit);
		bool goes = at < patching->all.count && !patching->all.rows[at].written;
		if (!goes && strcmp(name, "case") != 0 && strcmp(name, "document") != 0 && strcmp(name, "data") != 0)
			return false;
	}
	return element->child_count == 0;
}

static bool is_first_of_element(const struct patching *patching, size_t at)
{
	for (size_t i = 0; i < at; i++)
		if (patching->all.rows[i].element == patching->all.rows[at].element)
			return false;
	return true;
}

static void write_edit(struct patching *patching, size_t at, const struct restated_list *clashing)
{
	const struct restated *edit = &patching->all.rows[at];
	const xmlNode *node =
		node_of(patching->document, xmlDocGetRootElement(patching->document->tree), edit->element);
	if (!node || same_edit(clashing, edit) < clashing->count)
		return;
	if (!is_emptied(patching, edit->element))
		source_set(&patching->edits, node, edit->name, edit->written);
	else if (is_first_of_element(patching, at))
		source_remove(&patching->edits, node, false);
	patching->out.values += edit->written != NULL;
}

struct patched replies_patch(struct arena *arena, const struct element *unit, const struct review *review,
	const char *name, const struct text *bytes)
{
	struct problems none = {.arena = arena};
	struct document document = document_parse(arena, name, bytes->data, bytes->length, &none);
	struct patching patching = {.arena = arena, .document = &document, .edits = source_edits_of(arena, &document)};
	struct restated_list clashing = {.rows = NULL};
	for (size_t i = 0; document.tree && i < review->round->count; i++) {
		const struct round_row *row = &review->round->rows[i];
		if (row->applied && row->applied->outcome != REPLY_STATED &&
			row->applied->outcome != REPLY_NOT_UNDERSTOOD)
			collect(&patching, reply_edits(arena, unit, review->table, row), &clashing);
	}
	for (size_t i = 0; i < patching.all.count; i++)
		write_edit(&patching, i, &clashing);
	patching.out.conflicts = clashing.count;
	patching.out.text = source_changed(&patching.edits);
	document_release(&document);
	return patching.out;
}
