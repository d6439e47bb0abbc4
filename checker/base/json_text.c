#include "base/json_text.h"

#include <stdalign.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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

/* One value being written, token by token; `put` as json_dump_callback() has it. */
struct dump {
	json_dump_callback_t put;
	void *data;
	const char *between, *after_name; /* separators */
	size_t indent, depth;		  /* indent 0: all in one line */
	int digits;
	bool failed;
};

static void put_span(struct dump *dump, const char *token, size_t length)
{
	dump->failed = dump->failed || dump->put(token, length, dump->data) != 0;
}

static void put_token(struct dump *dump, const char *token)
{
	put_span(dump, token, strlen(token));
}

static void put_escape(struct dump *dump, unsigned char c)
{
	static const char letters[] = "\"\\\b\f\n\r\t", short_forms[] = "\"\\bfnrt";
	const char *letter = strchr(letters, c);
	char escape[8];
	if (c && letter)
		snprintf(escape, sizeof escape, "\\%c", short_forms[letter - letters]);
	else
		snprintf(escape, sizeof escape, "\\u%04X", (unsigned)c);
	put_token(dump, escape);
}

/* Is no byte of eight in a row a control character, a quote or a backslash? Each test sets the high bit of such a byte. */
static bool is_plain(const char *eight)
{
	const uint64_t ones = UINT64_C(0x0101010101010101), high = 0x80 * ones;
	uint64_t word;
	memcpy(&word, eight, sizeof word);
	uint64_t quote = word ^ '"' * ones, backslash = word ^ '\\' * ones;
	uint64_t found = ((word - ' ' * ones) & ~word) | ((quote - ones) & ~quote) | ((backslash - ones) & ~backslash);
	return !(found & high);
}

/* What needs no escape is put in one piece; jansson lets in no string that is not UTF-8. */
static void put_string(struct dump *dump, const char *string, size_t length)
{
	const char *end = string + length, *plain = string;
	put_token(dump, "\"");
	for (const char *at = string; at < end; at++) {
		while ((size_t)(end - at) >= sizeof(uint64_t) && is_plain(at))
			at += sizeof(uint64_t);
		if (at == end)
			break;
		unsigned char c = (unsigned char)*at;
		if (c >= ' ' && c != '"' && c != '\\')
			continue;
		put_span(dump, plain, (size_t)(at - plain));
		put_escape(dump, c);
		plain = at + 1;
	}
	put_span(dump, plain, (size_t)(end - plain));
	put_token(dump, "\"");
}

/* A real number is told from a whole one by a point or an exponent, which is written without sign and zeros that say nothing. */
static void put_real(struct dump *dump, double value)
{
	enum { LONGEST = 40 };
	char number[LONGEST];
	snprintf(number, sizeof number - 2, "%.*g", dump->digits, value);
	char *exponent = strchr(number, 'e');
	if (exponent) {
		char *digits = exponent + 1 + (exponent[1] == '-' || exponent[1] == '+');
		digits += strspn(digits, "0");
		char *to = exponent + 1 + (exponent[1] == '-');
		memmove(to, digits, strlen(digits) + 1);
	} else if (!strchr(number, '.')) {
		memcpy(number + strlen(number), ".0", sizeof ".0");
	}
	put_token(dump, number);
}

static void put_whole(struct dump *dump, json_int_t value)
{
	enum { LONGEST = 24 };
	char number[LONGEST];
	snprintf(number, sizeof number, "%" JSON_INTEGER_FORMAT, value);
	put_token(dump, number);
}

static void begin_line(struct dump *dump)
{
	static const char blanks[] = "                                ";
	if (!dump->indent)
		return;
	put_token(dump, "\n");
	for (size_t left = dump->indent * dump->depth; left;) {
		size_t some = left < sizeof blanks - 1 ? left : sizeof blanks - 1;
		put_span(dump, blanks, some);
		left -= some;
	}
}

static void put_value(struct dump *dump, const json_t *value);

static void put_array(struct dump *dump, const json_t *array)
{
	size_t count = json_array_size(array);
	put_token(dump, "[");
	dump->depth++;
	for (size_t i = 0; i < count; i++) {
		put_token(dump, i ? dump->between : "");
		begin_line(dump);
		put_value(dump, json_array_get(array, i));
	}
	dump->depth--;
	if (count)
		begin_line(dump);
	put_token(dump, "]");
}

static void put_object(struct dump *dump, json_t *object)
{
	bool first = true;
	put_token(dump, "{");
	dump->depth++;
	for (void *at = json_object_iter(object); at; at = json_object_iter_next(object, at), first = false) {
		const char *name = json_object_iter_key(at);
		put_token(dump, first ? "" : dump->between);
		begin_line(dump);
		put_string(dump, name, strlen(name));
		put_token(dump, dump->after_name);
		put_value(dump, json_object_iter_value(at));
	}
	dump->depth--;
	if (!first)
		begin_line(dump);
	put_token(dump, "}");
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
		put_string(dump, json_string_value(value), json_string_length(value));
		break;
	case JSON_INTEGER:
		put_whole(dump, json_integer_value(value));
		break;
	case JSON_REAL:
		put_real(dump, json_real_value(value));
		break;
	default:
		put_token(dump, json_is_null(value) ? "null" : json_is_true(value) ? "true" : "false");
	}
}

static bool dump_value(const json_t *value, json_dump_callback_t put, void *data, size_t flags)
{
	enum { INDENT = 0x1F, PRECISION_AT = 11, PRECISION = 0x1F, ROUND_TRIP = 17 };
	size_t digits = flags >> PRECISION_AT & PRECISION, indent = flags & INDENT;
	struct dump dump = {
		.put = put,
		.data = data,
		.between = indent || flags & JSON_COMPACT ? "," : ", ",
		.after_name = flags & JSON_COMPACT ? ":" : ": ",
		.indent = indent,
		.digits = digits ? (int)digits : ROUND_TRIP,
	};
	if (flags != (JSON_REAL_PRECISION(digits) | JSON_INDENT(indent) | (flags & JSON_COMPACT)))
		abort(); /* a flag that nobody needed yet */
	put_value(&dump, value);
	return !dump.failed;
}

/* ---- whole ---- */

static int add(const char *token, size_t length, void *text)
{
	text_add_span(text, token, length);
	return 0;
}

bool json_text(struct text *text, const json_t *root, size_t flags)
{
	return root && dump_value(root, add, text, flags);
}

/* ---- in parts ---- */

static void pass_on(struct json_record *record)
{
	if (fwrite(record->held, 1, record->used, record->out) != record->used)
		record->failed = true;
	record->used = 0;
}

static int hold(const char *token, size_t length, void *data)
{
	struct json_record *record = data;
	while (length > sizeof record->held - record->used) {
		size_t fits = sizeof record->held - record->used;
		memcpy(record->held + record->used, token, fits);
		record->used += fits;
		pass_on(record);
		token += fits;
		length -= fits;
	}
	memcpy(record->held + record->used, token, length);
	record->used += length;
	return record->failed ? -1 : 0;
}

static void put(struct json_record *record, const char *words)
{
	hold(words, strlen(words), record);
}

static void dump(struct json_record *record, json_t *value)
{
	if (!value || !dump_value(value, hold, record, record->flags))
		record->failed = true;
	json_decref(value);
}

static void name_member(struct json_record *record, const char *name)
{
	put(record, record->members++ ? ",\n\"" : "{\n\"");
	put(record, name);
	put(record, "\": ");
}

bool json_write(FILE *out, const json_t *root, size_t flags)
{
	struct json_record record;
	json_record_open(&record, out, flags);
	if (!root || !dump_value(root, hold, &record, flags))
		return false;
	put(&record, "\n");
	pass_on(&record);
	return !record.failed;
}

void json_record_open(struct json_record *record, FILE *out, size_t flags)
{
	record->out = out;
	record->flags = flags;
	record->failed = false;
	record->members = record->rows = record->used = 0;
}

void json_record_member(struct json_record *record, const char *name, json_t *value)
{
	name_member(record, name);
	dump(record, value);
}

void json_record_rows(struct json_record *record, const char *name)
{
	name_member(record, name);
	put(record, "[");
	record->rows = 0;
}

void json_record_row(struct json_record *record, json_t *value)
{
	put(record, record->rows++ ? ",\n" : "\n");
	dump(record, value);
}

void json_record_end_rows(struct json_record *record)
{
	put(record, record->rows ? "\n]" : "]");
}

bool json_record_close(struct json_record *record)
{
	put(record, record->members ? "\n}\n" : "{}\n");
	pass_on(record);
	return !record->failed;
}
