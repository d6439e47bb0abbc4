/*
 * The next revision of a draft over a description that a reviewer has edited: three descriptions, of which `base` is the draft
 * that the editing started from, `next` the draft of the new revision, and `edited` the reviewer's.
 *
 * What changed from base to next is done to `edited`; what the reviewer changed or added stays. An element is the same in two
 * of them by its tag or id (a tag that the reviewer changed is found by `was`), else by what names it: operating case,
 * document, name, date and the like; an item with a tag also where it was moved to another parent. Attributes, texts and
 * elements are merged one by one.
 *
 * Where both changed the same thing differently nothing is decided in silence. The reviewer's stays and governs. The other
 * value is listed, and stands in the description: as a <stated> of the new document where a document may state it, so that the
 * review compares the two; else as a comment before the element. An element that one side removed and the other changed
 * stays as the reviewer has it, and is listed.
 *
 * The result is the reviewer's file with only these changes: order, comments and layout stay, so that a line diff shows them.
 * New elements come after the one they follow in the draft, with the comment before them. A comment of the draft before an
 * element is replaced if it is as the base had it. That `data` and `document` name another document, or other cells of it, is
 * not listed. Values are compared as written, blanks folded: 4 bar and 4.0 bar differ.
 */
#ifndef LEANRICH_MERGE_H
#define LEANRICH_MERGE_H

#include "base/problem.h"
#include "read/document.h"

struct merged {
	const char *text; /* the description, or NULL: it could not be made */
	size_t values, added, removed, conflicts;
};

/*
 * All three follow the vocabulary (document_check). Conflicts go to `conflicts`, what was done to `taken`; both have the
 * place in the edited file.
 */
struct merged merge_revision(struct arena *arena, const struct vocabulary *unit, const struct document *base,
	const struct document *next, const struct document *edited, struct problems *conflicts, struct problems *taken);

#endif
