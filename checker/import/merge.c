#include "import/merge.h"

#include <string.h>

#include "base/hashed.h"
#include "base/text.h"
#include "import/kin.h"
#include "import/source_edit.h"

struct merge {
	struct arena *arena;
	const struct vocabulary *unit;
	const struct document *base, *next, *edited;
	struct source_edits edits;
	struct kin tags, ids, former; /* of the edited one; former: by the tag before it was renamed */
	struct hashed comments;	      /* of the edited one */
	bool *claimed;		      /* by the offset of an element in the edited file */
	struct branch *within;	      /* whose children are merged */
	struct problems *conflicts, *taken;
	struct merged out;
};

/* One element in the three; base is NULL where both sides added it. */
struct branch {
	const xmlNode *base, *next, *edited;
	const struct vocabulary_element *meaning; /* of the edited one */
	struct text children;			  /* to come after its last child, each on a line of its own */
	const char *child_indent;
	struct text stated; /* attributes that the new document states otherwise */
	struct branch *parent;
};

/* ---- words ---- */

static const struct vocabulary_element *meaning_of(const struct merge *merge, const xmlNode *element)
{
	const char *name = (const char *)element->name;
	bool root = !element->parent || element->parent->type != XML_ELEMENT_NODE;
	const struct vocabulary_element *parent = root ? NULL : meaning_of(merge, element->parent);
	return root ? vocabulary_root(merge->unit, name) : parent ? vocabulary_child(parent, name) : NULL;
}

static const char *shown(struct merge *merge, const char *value)
{
	return value ? arena_format(merge->arena, "'%s'", value) : "nothing";
}

static struct place place_of(const struct merge *merge, const xmlNode *edited, const char *attribute)
{
	bool stated = attribute && xmlHasProp(edited, (const xmlChar *)attribute);
	return stated ? document_attribute_place(merge->edited, edited, attribute)
		      : document_place(merge->edited, edited);
}

static const char *indent_of(const struct merge *merge, const struct document *document, const xmlNode *element)
{
	size_t start = source_start_tag(document, element).start;
	const char *indent = source_indent(merge->arena, document, start);
	return indent ? indent : "";
}

/* ---- conflicts ---- */

static void note_comments(struct merge *merge, const xmlNode *element)
{
	for (const xmlNode *node = element->children; node; node = node->next)
		if (node->type == XML_COMMENT_NODE && node->content)
			hashed_add(
				merge->arena, &merge->comments, text_hash((const char *)node->content), node->content);
		else if (node->type == XML_ELEMENT_NODE)
			note_comments(merge, node);
}

/* The comment of a conflict; NULL: it stands in the file since the same revision was merged before. */
static const char *conflict_comment(struct merge *merge, const char *words)
{
	struct text comment = text_in(merge->arena);
	text_add(&comment, " conflict: ");
	source_add_comment(&comment, words);
	text_add_char(&comment, ' ');
	uint32_t hash = text_hash(comment.data);
	for (const struct hashed_row *row = hashed_first(&merge->comments, hash); row; row = hashed_next(row))
		if (strcmp(row->thing, comment.data) == 0)
			return NULL;
	return arena_join(merge->arena, "<!--", comment.data, "-->", "");
}

static void leave_comment(struct merge *merge, const xmlNode *edited, const char *words)
{
	const char *comment = conflict_comment(merge, words);
	if (comment)
		source_insert(&merge->edits, source_start_tag(merge->edited, edited).start,
			arena_join(merge->arena, comment, "\n", indent_of(merge, merge->edited, edited), ""));
}

/* The document that the draft takes the values of the element from, or NULL. */
static const char *document_of(struct merge *merge, const xmlNode *next)
{
	const char *document = kin_value(merge->arena, next, "data");
	bool inner = next->parent && next->parent->type == XML_ELEMENT_NODE;
	return document ? document : inner ? document_of(merge, next->parent) : NULL;
}

static const xmlNode *stated_by(struct merge *merge, const xmlNode *item, const char *document, const char *of_case)
{
	for (const xmlNode *node = kin_first(item); node; node = kin_after(node))
		if (strcmp((const char *)node->name, "stated") == 0 &&
			text_same(kin_value(merge->arena, node, "case"), of_case) &&
			text_same(kin_value(merge->arena, node, "document"), document))
			return node;
	return NULL;
}

/* What an <in> says is a statement about the item in which it stands. */
static const struct branch *of_item(const struct branch *branch)
{
	bool of_case = strcmp((const char *)branch->edited->name, "in") == 0;
	return of_case && branch->parent ? branch->parent : branch;
}

/* As a statement of the new document, which the review holds against the reviewer's; false where none can state it. */
static bool state(struct merge *merge, struct branch *branch, const char *name, const char *value)
{
	const struct branch *item = of_item(branch);
	const char *of_case = item == branch ? NULL : kin_value(merge->arena, branch->edited, "case");
	const struct vocabulary_element *stated = item->meaning ? vocabulary_child(item->meaning, "stated") : NULL;
	const char *document = document_of(merge, branch->next);
	if (!stated || !document || !vocabulary_attribute(stated, name))
		return false;
	const xmlNode *there = stated_by(merge, item->edited, document, of_case);
	if (there && xmlHasProp(there, (const xmlChar *)name))
		return text_same(kin_value(merge->arena, there, name), value);
	if (there) {
		source_set(&merge->edits, there, name, value);
		return true;
	}
	text_addf(&branch->stated, " %s=\"", name);
	source_add_value(&branch->stated, value);
	text_add_char(&branch->stated, '"');
	return true;
}

static void disagree(struct merge *merge, struct branch *branch, const char *name, const char *was, const char *next,
	const char *edited)
{
	const char *change = arena_format(merge->arena, "%s of %s: the draft changes %s to %s (%s:%d)", name,
		kin_called(merge->arena, branch->edited), shown(merge, was), shown(merge, next), merge->next->file,
		document_place(merge->next, branch->next).line);
	bool stands = next && state(merge, branch, name, next);
	merge->out.conflicts++;
	problem_add(merge->conflicts, PROBLEM_CONFLICT, place_of(merge, branch->edited, name),
		"%s, this file says %s and keeps it; the other stands %s", change, shown(merge, edited),
		stands ? "as <stated>" : "in a comment");
	if (!stands)
		leave_comment(merge, branch->edited,
			arena_format(merge->arena, "%s; kept: %s", change, shown(merge, edited)));
}

static void disagree_whole(struct merge *merge, const xmlNode *edited, const char *words)
{
	merge->out.conflicts++;
	problem_add(merge->conflicts, PROBLEM_CONFLICT, document_place(merge->edited, edited), "%s", words);
	leave_comment(merge, edited, words);
}

/* ---- attributes ---- */

static void take(struct merge *merge, struct branch *branch, const char *name, const char *was, const char *next)
{
	source_set(&merge->edits, branch->edited, name, next);
	if (strcmp(name, "data") == 0 || strcmp(name, "document") == 0) /* its cells are others with each revision */
		return;
	merge->out.values++;
	problem_add(merge->taken, PROBLEM_TAKEN, place_of(merge, branch->edited, name), "%s of %s: %s is now %s", name,
		kin_called(merge->arena, branch->edited), shown(merge, was), shown(merge, next));
}

static void merge_attribute(struct merge *merge, struct branch *branch, const char *name)
{
	const char *was = kin_value(merge->arena, branch->base, name);
	const char *next = kin_value(merge->arena, branch->next, name);
	const char *edited = kin_value(merge->arena, branch->edited, name);
	bool allowed = !next || (branch->meaning && vocabulary_attribute(branch->meaning, name));
	if (kin_same_value(name, next, was) || kin_same_value(name, next, edited))
		return;
	if (kin_same_value(name, edited, was) && allowed)
		take(merge, branch, name, was, next);
	else
		disagree(merge, branch, name, was, next, edited);
}

static void merge_attributes(struct merge *merge, struct branch *branch)
{
	for (const xmlAttr *attribute = branch->next->properties; attribute; attribute = attribute->next)
		if (!document_is_for_editors(attribute))
			merge_attribute(merge, branch, (const char *)attribute->name);
	for (const xmlAttr *attribute = branch->base ? branch->base->properties : NULL; attribute;
		attribute = attribute->next)
		if (!document_is_for_editors(attribute) && !xmlHasProp(branch->next, attribute->name))
			merge_attribute(merge, branch, (const char *)attribute->name);
}

static const char *comment_text(const struct merge *merge, const struct document *document, const xmlNode *element)
{
	struct source_span span = source_comment_before(document, element);
	return arena_copy_span(merge->arena, document->bytes + span.start, span.end - span.start);
}

/* What the draft says before an element in a comment; the reviewer's own stays. */
static void merge_comment(struct merge *merge, const struct branch *branch)
{
	const char *was = comment_text(merge, merge->base, branch->base);
	const char *next = comment_text(merge, merge->next, branch->next);
	const char *edited = comment_text(merge, merge->edited, branch->edited);
	if (*was && *next && strcmp(was, next) != 0 && strcmp(was, edited) == 0)
		source_replace(&merge->edits, source_comment_before(merge->edited, branch->edited), next);
}

static void merge_kind(struct merge *merge, const struct branch *branch)
{
	const char *next = (const char *)branch->next->name, *edited = (const char *)branch->edited->name;
	bool as_before = branch->base && strcmp((const char *)branch->base->name, next) == 0;
	if (!as_before && strcmp(next, edited) != 0)
		disagree_whole(merge, branch->edited,
			arena_format(merge->arena, "%s: the draft has it as <%s> (%s:%d), this file as <%s>",
				kin_called(merge->arena, branch->edited), next, merge->next->file,
				document_place(merge->next, branch->next).line, edited));
}

/* ---- elements ---- */

/* The source of an element of the draft with its comment, its lines indented as those of the file it goes to. */
static const char *block_of(struct merge *merge, const xmlNode *next, const char *indent)
{
	const char *bytes = merge->next->bytes, *own = indent_of(merge, merge->next, next);
	struct source_span span = source_element(merge->next, next), comment = source_comment_before(merge->next, next);
	struct text out = text_in(merge->arena);
	if (comment.end > comment.start)
		span.start = comment.start;
	for (size_t at = span.start; at < span.end; at++) {
		text_add_char(&out, bytes[at]);
		if (bytes[at] != '\n')
			continue;
		text_add(&out, indent);
		if (strncmp(bytes + at + 1, own, strlen(own)) == 0)
			at += strlen(own);
	}
	return out.data;
}

static void add(
	struct merge *merge, struct branch *branch, const xmlNode *next, const xmlNode *after, const xmlNode *before)
{
	const xmlNode *beside = after ? after : before;
	const char *indent = beside ? indent_of(merge, merge->edited, beside) : branch->child_indent;
	const char *block = block_of(merge, next, indent);
	struct place place = document_place(merge->edited, beside ? beside : branch->edited);
	if (after) {
		source_insert(&merge->edits, source_after(merge->edited, after),
			arena_format(merge->arena, "\n%s%s", indent, block));
	} else if (before) {
		struct source_span comment = source_comment_before(merge->edited, before);
		size_t at = comment.end > comment.start ? comment.start : source_start_tag(merge->edited, before).start;
		source_insert(&merge->edits, at, arena_format(merge->arena, "%s\n%s", block, indent));
	} else {
		text_addf(&branch->children, "\n%s%s", indent, block);
	}
	merge->out.added++;
	problem_add(merge->taken, PROBLEM_TAKEN, place, "%s is new (%s:%d)", kin_called(merge->arena, next),
		merge->next->file, document_place(merge->next, next).line);
}

static void drop(struct merge *merge, const xmlNode *base, const xmlNode *edited)
{
	const char *called = kin_called(merge->arena, edited);
	if (!kin_equal(merge->arena, base, edited)) {
		disagree_whole(merge, edited,
			arena_format(merge->arena,
				"%s is no longer in the draft; this file has changed it and keeps it", called));
		return;
	}
	const char *was = comment_text(merge, merge->base, base), *here = comment_text(merge, merge->edited, edited);
	merge->out.removed++;
	problem_add(
		merge->taken, PROBLEM_TAKEN, document_place(merge->edited, edited), "%s is no longer there", called);
	source_remove(&merge->edits, edited, strcmp(was, here) == 0);
}

/* Claims an element of the edited file for one of the draft; NULL: there is none, or another has it. */
static const xmlNode *claim(struct merge *merge, const xmlNode *edited)
{
	bool *claimed = edited ? &merge->claimed[source_start_tag(merge->edited, edited).start] : NULL;
	if (!edited || *claimed)
		return NULL;
	*claimed = true;
	return edited;
}

static const char *tag_or_id(struct merge *merge, const xmlNode *element, bool *tag)
{
	const char *name = kin_value(merge->arena, element, "tag");
	*tag = name != NULL;
	return name ? name : kin_value(merge->arena, element, "id");
}

static bool is_item(const xmlNode *element)
{
	return element->parent->parent->type == XML_DOCUMENT_NODE;
}

/* The element in the edited file: among its like, or where it was moved to. */
static const xmlNode *find_edited(struct merge *merge, struct kin *edited, const struct kin_row *row)
{
	bool tag;
	const xmlNode *found = kin_find(edited, row->key);
	const char *name = found || !is_item(row->node) ? NULL : tag_or_id(merge, row->node, &tag);
	return claim(merge, name ? kin_find(tag ? &merge->tags : &merge->ids, name) : found);
}

/* Under the tag that the reviewer gave it. */
static const xmlNode *find_renamed(struct merge *merge, const struct kin_row *row)
{
	bool tag;
	const char *name = is_item(row->node) ? tag_or_id(merge, row->node, &tag) : NULL;
	return name ? claim(merge, kin_find(&merge->former, name)) : NULL;
}

/* A comment at the end of the parent: the element that it is about is gone. */
static void gone(struct merge *merge, struct branch *branch, const xmlNode *next)
{
	const char *words =
		arena_format(merge->arena, "%s was removed here, and the draft changes it (%s:%d); it stays removed",
			kin_called(merge->arena, next), merge->next->file, document_place(merge->next, next).line);
	merge->out.conflicts++;
	problem_add(merge->conflicts, PROBLEM_CONFLICT, document_place(merge->edited, branch->edited), "%s", words);
	const char *comment = conflict_comment(merge, words);
	if (comment)
		text_addf(&branch->children, "\n%s%s", branch->child_indent, comment);
}

static void merge_element(struct merge *merge, const xmlNode *base, const xmlNode *next, const xmlNode *edited);

static void merge_next_children(struct merge *merge, struct branch *branch, struct kin *base, struct kin *edited)
{
	struct kin next = kin_of(merge->arena, branch->next);
	const xmlNode **found = arena_alloc(merge->arena, (next.count + 1) * sizeof *found), *after = NULL;
	const xmlNode *before = NULL;
	for (size_t i = 0; i < next.count; i++)
		found[i] = find_edited(merge, edited, &next.rows[i]);
	for (size_t i = next.count; i-- > 0;) {
		if (!found[i])
			found[i] = find_renamed(merge, &next.rows[i]);
		if (found[i] && found[i]->parent == branch->edited)
			before = found[i];
	}
	for (size_t i = 0; i < next.count; i++) {
		const xmlNode *node = next.rows[i].node, *was = kin_find(base, next.rows[i].key);
		if (found[i])
			merge_element(merge, was, node, found[i]);
		else if (!was)
			add(merge, branch, node, after, before);
		else if (!kin_equal(merge->arena, was, node))
			gone(merge, branch, node);
		if (found[i] && found[i]->parent == branch->edited)
			after = found[i];
	}
}

static void merge_children(struct merge *merge, struct branch *branch)
{
	struct kin base = kin_of(merge->arena, branch->base), edited = kin_of(merge->arena, branch->edited);
	merge_next_children(merge, branch, &base, &edited);
	struct kin next = kin_of(merge->arena, branch->next);
	for (size_t i = 0; i < base.count; i++) {
		if (kin_find(&next, base.rows[i].key))
			continue;
		const xmlNode *found = find_edited(merge, &edited, &base.rows[i]);
		if (!found)
			found = find_renamed(merge, &base.rows[i]);
		if (found)
			drop(merge, base.rows[i].node, found);
	}
}

static const char *indent_of_children(const struct merge *merge, const xmlNode *edited)
{
	const xmlNode *child = kin_first(edited);
	const char *indent = indent_of(merge, merge->edited, child ? child : edited);
	return child ? indent : arena_join(merge->arena, indent, strchr(indent, '\t') ? "\t" : "  ", "", "");
}

/* What the new document states otherwise, as a child of the item. */
static void add_statement(struct merge *merge, struct branch *branch)
{
	struct branch *item = of_item(branch) == branch ? branch : branch->parent;
	if (!branch->stated.length)
		return;
	text_addf(&item->children, "\n%s<stated document=\"", item->child_indent);
	source_add_value(&item->children, document_of(merge, branch->next));
	text_add_char(&item->children, '"');
	if (item != branch) {
		text_add(&item->children, " case=\"");
		source_add_value(&item->children, kin_value(merge->arena, branch->edited, "case"));
		text_add_char(&item->children, '"');
	}
	text_addf(&item->children, "%s/>", branch->stated.data);
}

static void merge_element(struct merge *merge, const xmlNode *base, const xmlNode *next, const xmlNode *edited)
{
	struct branch branch = {.base = base,
		.next = next,
		.edited = edited,
		.meaning = meaning_of(merge, edited),
		.children = text_in(merge->arena),
		.child_indent = indent_of_children(merge, edited),
		.stated = text_in(merge->arena),
		.parent = merge->within};
	merge_kind(merge, &branch);
	merge_attributes(merge, &branch);
	if (base)
		merge_comment(merge, &branch);
	merge->within = &branch;
	merge_children(merge, &branch);
	merge->within = branch.parent;
	add_statement(merge, &branch);
	if (branch.children.length)
		source_append(&merge->edits, edited, branch.children.data, indent_of(merge, merge->edited, edited));
}

struct merged merge_revision(struct arena *arena, const struct vocabulary *unit, const struct document *base,
	const struct document *next, const struct document *edited, struct problems *conflicts, struct problems *taken)
{
	struct merge merge = {.arena = arena,
		.unit = unit,
		.base = base,
		.next = next,
		.edited = edited,
		.edits = source_edits_of(arena, edited),
		.tags = kin_with(arena, xmlDocGetRootElement(edited->tree), "tag"),
		.ids = kin_with(arena, xmlDocGetRootElement(edited->tree), "id"),
		.former = kin_with(arena, xmlDocGetRootElement(edited->tree), "was"),
		.claimed = arena_alloc(arena, edited->size + 1),
		.conflicts = conflicts,
		.taken = taken};
	note_comments(&merge, xmlDocGetRootElement(edited->tree));
	merge_element(&merge, xmlDocGetRootElement(base->tree), xmlDocGetRootElement(next->tree),
		xmlDocGetRootElement(edited->tree));
	merge.out.text = source_changed(&merge.edits).data;
	return merge.out;
}
