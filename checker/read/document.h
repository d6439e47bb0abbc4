/*
 * An XML file read safely, with the place of everything in it.
 *
 * Refused: document type declarations (and with them every entity of one's own), encodings other than UTF-8, files
 * above the size cap, anything that is not well-formed. No network, no other file is ever opened. The file is read into memory
 * once; each element remembers where its start tag is.
 *
 * document_check() walks a well-formed tree against a vocabulary and reports every fault of structure in one pass,
 * then lets libxml2 validate against the XSD itself, so that nothing the schema forbids passes unseen.
 */
#ifndef LEANRICH_DOCUMENT_H
#define LEANRICH_DOCUMENT_H

#include <stdbool.h>
#include <libxml/tree.h>

#include "base/arena.h"
#include "base/problem.h"
#include "base/text.h"
#include "read/vocabulary.h"

enum {
	DOCUMENT_LARGEST = 64 * 1024 * 1024, /* bytes */
	DOCUMENT_MOST_ELEMENTS = 20000,	     /* some 2 GiB of review; no unit has a tenth of it */
	DOCUMENT_MOST_OF_DRAFT = 1000000,    /* of a description that is made or merged, and not reviewed */
	PLACE_BLOCK = 64		     /* bytes between counts of characters */
};

struct document {
	xmlDoc *tree; /* NULL when the file could not be read as XML */
	bool cut_off; /* malformed: the tree holds what is before the break, and the break is reported */
	bool empty;   /* nothing is written in it: document_check() says so, with what it starts with */
	const char *file;
	const char *bytes;
	size_t size;
	const size_t *lines; /* offset of the start of every line */
	size_t line_count;
	const size_t *
		characters; /* before every PLACE_BLOCK-th byte: a place in a long line is found without counting it all */
};

/* Reads a file ("-": standard input) or memory. Faults go to `problems`; the tree is then NULL or cut off. */
struct document document_read(struct arena *arena, const char *path, struct problems *problems);
struct document document_parse(
	struct arena *arena, const char *name, const char *bytes, size_t size, struct problems *problems);

/* The same of a description with so many elements at most, where it is not to be reviewed. */
struct document document_read_up_to(
	struct arena *arena, const char *path, size_t most_elements, struct problems *problems);
struct document document_parse_up_to(struct arena *arena, const char *name, const char *bytes, size_t size,
	size_t most_elements, struct problems *problems);

void document_release(struct document *document);

/* The bytes of a file alone, under the size cap; false after reporting why not. */
bool document_bytes(struct arena *arena, const char *path, struct problems *problems, struct text *out);

/*
 * The same of a file that is read as lines of text; false too when a byte of it is none: not UTF-8, or a control character, a
 * NUL among them, after which nothing would be seen.
 */
bool document_text(struct arena *arena, const char *path, struct problems *problems, struct text *out);
bool document_is_text(const char *name, const char *bytes, size_t size, struct problems *problems);

/* A message of libxml2 without its line ends. */
const char *document_one_line(struct arena *arena, const char *message);

/* In document_check.c: true when the tree follows the vocabulary and its XSD, as far as it goes. */
bool document_check(const struct document *document, const struct vocabulary *vocabulary, struct problems *problems);

/* Where an editor finds the schema (xsi:schemaLocation and its like): of no concern to us, and never followed. */
bool document_is_for_editors(const xmlAttr *attribute);

struct place document_place(const struct document *document, const xmlNode *element);
struct place document_attribute_place(const struct document *document, const xmlNode *element, const char *attribute);

#endif
