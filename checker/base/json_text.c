#include "base/json_text.h"

#include <stdalign.h>
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

/* ---- whole ---- */

static int add(const char *token, size_t length, void *text)
{
	text_add_span(text, token, length);
	return 0;
}

bool json_text(struct text *text, const json_t *root, size_t flags)
{
	return root && json_dump_callback(root, add, text, flags) == 0;
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
	if (!value || json_dump_callback(value, hold, record, record->flags | JSON_ENCODE_ANY) != 0)
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
	if (!root || json_dump_callback(root, hold, &record, flags) != 0)
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
