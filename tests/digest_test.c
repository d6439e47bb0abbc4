#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "base/digest.h"

/* Messages and digests of FIPS 180-4's examples (NIST, "SHA256.pdf" of its example values), here in base64; of the empty one too. */
static const struct {
	const char *message, *digest;
} published[] = {
	{"", "47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU="},
	{"abc", "ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0="},
	{"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", "JI1qYdIGOLjlwCaTDD5gOaM85Flk/yFn9uzt1BnbBsE="},
};

Test(digest, published_examples)
{
	struct arena arena = {0};
	for (size_t i = 0; i < COUNT(published); i++)
		cr_expect_str_eq(digest_base64(&arena, published[i].message, strlen(published[i].message)),
			published[i].digest, "\"%s\"", published[i].message);
	arena_release(&arena);
}

/* Every length around the borders of a block is its own message: no two may agree. */
Test(digest, borders_of_a_block)
{
	enum { MOST = 130 };
	struct arena arena = {0};
	char letters[MOST];
	const char *digests[MOST];
	memset(letters, 'a', sizeof letters);
	for (size_t length = 0; length < MOST; length++) {
		digests[length] = digest_base64(&arena, letters, length);
		cr_expect_eq(strlen(digests[length]), 44);
		for (size_t k = 0; k < length; k++)
			cr_expect_str_neq(digests[length], digests[k]);
	}
	arena_release(&arena);
}
