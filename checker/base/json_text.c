#include "base/json_text.h"

#include <stdalign.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/json_out.h"

/* ---- memory ---- */

struct piece {
	struct piece *older;
	size_t size, used;
	alignas(max_align_t) char data[];
};

enum { PIECE = 1 << 16, ALIGNED = alignof(max_align_t) };

static struct piece *newest;
static size_t living; /* how many of what was taken did not come back */

static void *take(size_t size)
{
	size = (size + ALIGNED - 1) / ALIGNED * ALIGNED;
	if (!newest || newest->size - newest->used < size) {
		size_t room = size > PIECE ? size : PIECE;
		struct piece *piece = checked_malloc(sizeof *piece + room);
		*piece = (struct piece){.older = newest, .size = room};
		newest = piece;
	}
	void *memory = newest->data + newest->used;
	newest->used += size;
	living++;
	return memory;
}

static void give_back(void *memory)
{
	if (!memory || --living)
		return;
	while (newest->older) {
		struct piece *older = newest->older;
		newest->older = older->older;
		free(older);
	}
	newest->used = 0;
}

void json_memory(void)
{
	json_set_alloc_funcs(take, give_back);
}

/* ---- values ---- */

/* One value being written. */
struct dump {
	struct json_out *out;
	const char *between, *after_name; /* separators */
	size_t indent, depth;		  /* indent 0: all in one line */
};

static void begin_line(const struct dump *dump)
{
	static const char blanks[] = "                                ";
	if (!dump->indent)
		return;
	json_out_token(dump->out, "\n");
	for (size_t left = dump->indent * dump->depth; left;) {
		size_t some = left < sizeof blanks - 1 ? left : sizeof blanks - 1;
		json_out_span(dump->out, blanks, some);
		left -= some;
	}
}

static void put_value(struct dump *dump, const json_t *value);

static void put_array(struct dump *dump, const json_t *array)
{
	size_t count = json_array_size(array);
	json_out_token(dump->out, "[");
	dump->depth++;
	for (size_t i = 0; i < count; i++) {
		json_out_token(dump->out, i ? dump->between : "");
		begin_line(dump);
		put_value(dump, json_array_get(array, i));
	}
	dump->depth--;
	if (count)
		begin_line(dump);
	json_out_token(dump->out, "]");
}

static void put_object(struct dump *dump, json_t *object)
{
	bool first = true;
	json_out_token(dump->out, "{");
	dump->depth++;
	for (void *at = json_object_iter(object); at; at = json_object_iter_next(object, at), first = false) {
		const char *name = json_object_iter_key(at);
		json_out_token(dump->out, first ? "" : dump->between);
		begin_line(dump);
		json_out_string(dump->out, name, strlen(name));
		json_out_token(dump->out, dump->after_name);
		put_value(dump, json_object_iter_value(at));
	}
	dump->depth--;
	if (!first)
		begin_line(dump);
	json_out_token(dump->out, "}");
}

static void put_value(struct dump *dump, const json_t *value)
{
	switch (json_typeof(value)) {
	case JSON_OBJECT:
		put_object(dump, (json_t *)(uintptr_t)value); /* an iterator takes no const object */
		break;
	case JSON_ARRAY:
		put_array(dump, value);
		break;
	case JSON_STRING:
		json_out_string(dump->out, json_string_value(value), json_string_length(value));
		break;
	case JSON_INTEGER:
		json_out_integer(dump->out, json_integer_value(value));
		break;
	case JSON_REAL:
		json_out_real(dump->out, json_real_value(value));
		break;
	default:
		json_out_token(dump->out, json_is_null(value) ? "null" : json_is_true(value) ? "true" : "false");
	}
}

static void dump_value(struct json_out *out, const json_t *value, size_t flags)
{
	enum { INDENT = 0x1F, PRECISION_AT = 11, PRECISION = 0x1F, ROUND_TRIP = 17 };
	size_t digits = flags >> PRECISION_AT & PRECISION, indent = flags & INDENT;
	struct dump dump = {
		.out = out,
		.between = indent || flags & JSON_COMPACT ? "," : ", ",
		.after_name = flags & JSON_COMPACT ? ":" : ": ",
		.indent = indent,
	};
	if (flags != (JSON_REAL_PRECISION(digits) | JSON_INDENT(indent) | (flags & JSON_COMPACT)))
		abort(); /* a flag that nobody needed yet */
	out->digits = digits ? (int)digits : ROUND_TRIP;
	put_value(&dump, value);
}

/* ---- whole ---- */

static void open_tokens(struct json_out *out, FILE *file, struct text *text)
{
	out->file = file;
	out->text = text;
	out->failed = false;
	out->used = 0;
}

bool json_text(struct text *text, const json_t *root, size_t flags)
{
	struct json_out out;
	if (!root)
		return false;
	open_tokens(&out, NULL, text);
	dump_value(&out, root, flags);
	json_out_flush(&out);
	return !out.failed;
}

bool json_write(FILE *file, const json_t *root, size_t flags)
{
	struct json_out out;
	if (!root)
		return false;
	open_tokens(&out, file, NULL);
	dump_value(&out, root, flags);
	json_out_token(&out, "\n");
	json_out_flush(&out);
	return !out.failed;
}
