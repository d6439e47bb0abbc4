#include "base/memo.h"

#include <stdint.h>
#include <string.h>

#include "base/arena.h"

static _Thread_local bool is_paused;

bool memo_pause(bool paused)
{
	bool before = is_paused;

	is_paused = paused;
	return before;
}

/* A place: whether it is taken, the key, the answer; each aligned as a double is. */
static size_t place_size(const struct memo *memo)
{
	size_t value = (memo->value + sizeof(double) - 1) / sizeof(double);

	return (1 + memo->numbers + value) * sizeof(double);
}

/* FNV-1a over whole numbers instead of bytes; the high half mixed down, since few doubles differ in their low bits. */
static uint64_t hash_of(const double *key, size_t count)
{
	uint64_t hash = UINT64_C(14695981039346656037), word;

	for (size_t i = 0; i < count; i++) {
		memcpy(&word, &key[i], sizeof word);
		hash = (hash ^ word ^ word >> 32) * UINT64_C(1099511628211);
		hash ^= hash >> 29;
	}
	return hash;
}

/* Where an answer may stand: WAYS places, of which the first is the one of its hash. */
enum { WAYS = 4 };

static unsigned char *place_of(const struct memo *memo, uint64_t hash, size_t way)
{
	return memo->memory + ((hash + way) & (memo->places - 1)) * place_size(memo);
}

static bool is_for(const struct memo *memo, const unsigned char *place, const double *key)
{
	return place[0] && memcmp(place + sizeof(double), key, memo->numbers * sizeof *key) == 0;
}

const void *memo_find(struct memo *memo, const double *key)
{
	if (!memo->memory || is_paused)
		return NULL;
	uint64_t hash = hash_of(key, memo->numbers);
	for (size_t way = 0; way < WAYS; way++) {
		const unsigned char *place = place_of(memo, hash, way);
		if (is_for(memo, place, key))
			return place + (1 + memo->numbers) * sizeof *key;
		if (!place[0])
			return NULL;
	}
	return NULL;
}

/* Its own place, or the first that is free; of taken ones any, by other bits of the hash than those that led here. */
static unsigned char *place_for(const struct memo *memo, const double *key)
{
	uint64_t hash = hash_of(key, memo->numbers);

	for (size_t way = 0; way < WAYS; way++) {
		unsigned char *place = place_of(memo, hash, way);
		if (!place[0] || is_for(memo, place, key))
			return place;
	}
	return place_of(memo, hash, hash >> 60 & (WAYS - 1));
}

void memo_keep(struct memo *memo, const double *key, const void *value)
{
	if (is_paused)
		return;
	if (!memo->memory)
		memo->memory = checked_calloc(memo->places * place_size(memo));
	unsigned char *place = place_for(memo, key), *kept = place + sizeof(double);
	place[0] = true;
	memcpy(kept, key, memo->numbers * sizeof *key);
	memcpy(kept + memo->numbers * sizeof *key, value, memo->value);
}
