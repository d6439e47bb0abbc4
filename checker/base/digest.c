#include "base/digest.h"

#include <limits.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>

enum {
	WORDS = 8,
	ROUNDS = 64,
	BLOCK = 64,  /* bytes */
	LENGTH = 56, /* where the length of the message is in the last block */
	MARK = 0x80, /* the bit that ends the message */
	BYTE = CHAR_BIT,
	WORD_BITS = 32,
};

/* The first 32 bits after the point. */
static uint32_t fraction(double root)
{
	return (uint32_t)((root - floor(root)) * 4294967296.0);
}

/* FIPS 180-4, 4.2.2 and 5.3.3: from the roots of the first primes, so that no table can be mistyped. */
static void find_constants(uint32_t state[WORDS], uint32_t rounds[ROUNDS])
{
	size_t found = 0;
	for (uint32_t candidate = 2; found < ROUNDS; candidate++) {
		bool prime = true;
		for (uint32_t divisor = 2; divisor * divisor <= candidate && prime; divisor++)
			prime = candidate % divisor != 0;
		if (!prime)
			continue;
		if (found < WORDS)
			state[found] = fraction(sqrt(candidate));
		rounds[found++] = fraction(cbrt(candidate));
	}
}

static uint32_t turned(uint32_t word, int right)
{
	return word >> right | word << (WORD_BITS - right);
}

static uint32_t big_endian(const unsigned char *bytes)
{
	return (uint32_t)bytes[0] << 24 | (uint32_t)bytes[1] << 16 | (uint32_t)bytes[2] << 8 | bytes[3];
}

/* FIPS 180-4, 6.2.2; the names and the rotations are its own. */
static void add_block(uint32_t state[WORDS], const uint32_t rounds[ROUNDS], const unsigned char *block)
{
	enum { GIVEN = 16 };
	uint32_t w[ROUNDS], s[WORDS];
	for (size_t t = 0; t < GIVEN; t++)
		w[t] = big_endian(block + (size_t)4 * t);
	for (size_t t = GIVEN; t < ROUNDS; t++) {
		uint32_t near = w[t - 2], far = w[t - 15];
		w[t] = (turned(near, 17) ^ turned(near, 19) ^ near >> 10) + w[t - 7] +
			(turned(far, 7) ^ turned(far, 18) ^ far >> 3) + w[t - 16];
	}
	memcpy(s, state, sizeof s);
	for (size_t t = 0; t < ROUNDS; t++) {
		uint32_t a = s[0], e = s[4];
		uint32_t choice = (e & s[5]) ^ (~e & s[6]), majority = (a & s[1]) ^ (a & s[2]) ^ (s[1] & s[2]);
		uint32_t first = s[7] + (turned(e, 6) ^ turned(e, 11) ^ turned(e, 25)) + choice + rounds[t] + w[t];
		uint32_t second = (turned(a, 2) ^ turned(a, 13) ^ turned(a, 22)) + majority;
		memmove(&s[1], &s[0], (WORDS - 1) * sizeof *s);
		s[4] += first;
		s[0] = first + second;
	}
	for (size_t i = 0; i < WORDS; i++)
		state[i] += s[i];
}

static void sha256(const unsigned char *bytes, size_t length, unsigned char digest[4 * WORDS])
{
	uint32_t state[WORDS], rounds[ROUNDS];
	find_constants(state, rounds);
	size_t whole = length / BLOCK * BLOCK, rest = length - whole;
	for (size_t at = 0; at < whole; at += BLOCK)
		add_block(state, rounds, bytes + at);
	unsigned char last[2 * BLOCK] = {0};
	memcpy(last, bytes + whole, rest);
	last[rest] = MARK;
	size_t end = rest < LENGTH ? BLOCK : 2 * BLOCK;
	uint64_t bits = (uint64_t)length * BYTE;
	for (size_t i = 0; i < sizeof bits; i++)
		last[end - 1 - i] = (unsigned char)(bits >> BYTE * i);
	for (size_t at = 0; at < end; at += BLOCK)
		add_block(state, rounds, last + at);
	for (size_t i = 0; i < (size_t)4 * WORDS; i++)
		digest[i] = (unsigned char)(state[i / 4] >> (24 - BYTE * (i % 4)));
}

/* RFC 4648, section 4. */
static const char *base64(struct arena *arena, const unsigned char *bytes, size_t length)
{
	static const char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
	enum { SIX_BITS = 0x3F };
	char *out = arena_alloc(arena, (length + 2) / 3 * 4 + 1), *at = out;
	for (size_t i = 0; i < length; i += 3) {
		size_t left = length - i;
		uint32_t three = (uint32_t)bytes[i] << 16 | (left > 1 ? (uint32_t)bytes[i + 1] << 8 : 0) |
			(left > 2 ? bytes[i + 2] : 0);
		for (size_t k = 0; k < 4; k++)
			*at++ = k <= left ? letters[three >> (18 - 6 * k) & SIX_BITS] : '=';
	}
	return out;
}

const char *digest_base64(struct arena *arena, const void *bytes, size_t length)
{
	unsigned char digest[4 * WORDS];
	sha256(bytes, length, digest);
	return base64(arena, digest, sizeof digest);
}
