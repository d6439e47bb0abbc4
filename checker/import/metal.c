#include "import/metal.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "import/list_cell.h"
#include "import/words.h"

/* What the standards of ASTM and ASME are for: of the first three every grade is what the row says. */
static const struct {
	const char *metal, *standards;
} standards[] = {
	{"carbon steel",
		"36 53 105 106 134 135 139 178 179 192 210 214 216 226 234 283 285 515 516 524 556 671 "
		"672 691 694"},
	{"low-temperature carbon steel", "333 334 350 352 420"},
	{"",
		"182 193 213 240 249 268 269 276 312 351 358 403 479 743 744 789 790 815 890 928 965 "
		"995"}, /* by the grade */
};

/* Words of a grade of carbon steel; others make the whole another metal. */
static const char carbon_grades[] = "gr|grade|class|cl|type|a|b|c|d|e|f|n|55|60|65|70|60n|65n|70n|wpb|wpc|wcb|wcc|lcb|"
				    "lcc|lf1|lf2|wpl6|1|6|3|cc60|cc65|"
				    "cc70|c60|c65|c70|a1|c1|norm|normalized|normalised|hic|nace|x52|x60|f42|f52|f60|"
				    "smls|seamless|welded|efw|erw|a179";

/* Chromium, nickel or molybdenum in earnest. */
static bool is_alloy_grade(long standard, const char *word)
{
	return (standard == 691 || standard == 672) && strstr(word, "cr");
}

/* "TP316L", "F 316", "WP304L", "CF8M": as the list of names has it. */
static const char *by_grade(struct arena *arena, const char *words)
{
	static const char *const before[] = {"", "tp", "wp", "f", "type ", "gr ", "grade ", "tp ", "wp ", "gr tp", "s"};
	static const char *const after[] = {"", "h", " smls", " seamless", " welded", "n"};
	for (size_t i = 0; i < COUNT(before); i++)
		for (size_t k = 0; k < COUNT(after); k++) {
			size_t length = strlen(words), tail = strlen(after[k]), head = strlen(before[i]);
			if (length <= head + tail || strncmp(words, before[i], head) != 0 ||
				strcmp(words + length - tail, after[k]) != 0)
				continue;
			const char *found = list_cell_metal_named(
				arena, arena_copy_span(arena, words + head, length - head - tail));
			if (found)
				return found;
		}
	return NULL;
}

/* The number of the standard that the text begins with, "sa 516", "a106", "astm a 312": 0 when it is none; `*rest`: its grade. */
static long standard_of(const char *folded, const char **rest)
{
	static const char *const issuers[] = {"astm ", "asme ", ""};
	for (size_t i = 0; i < COUNT(issuers); i++) {
		if (strncmp(folded, issuers[i], strlen(issuers[i])) != 0)
			continue;
		const char *at = folded + strlen(issuers[i]);
		at += *at == 's' && at[1] == 'a';
		if (*at != 'a')
			continue;
		at++;
		at += *at == ' ';
		size_t digits = strspn(at, "0123456789");
		if (digits < 2 || digits > 3)
			continue;
		long number = strtol(at, NULL, 10);
		at += digits;
		at += strncmp(at, "m ", 2) == 0 ? 1 : 0; /* A516M */
		if (*at && *at != ' ' && strspn(at, "abcdefghijklmnopqrstuvwxyz0123456789") == 0)
			return 0;
		*rest = at + strspn(at, " ");
		return number;
	}
	return 0;
}

static const char *by_astm(struct arena *arena, const char *folded)
{
	const char *rest = "";
	long number = standard_of(folded, &rest);
	for (size_t i = 0; i < COUNT(standards) && number; i++) {
		char *end;
		bool is = false;
		for (const char *at = standards[i].standards; *at; at = end + strspn(end, " "))
			is = strtol(at, &end, 10) == number || is;
		if (!is)
			continue;
		if (!*standards[i].metal)
			return by_grade(arena, rest);
		for (const char *at = rest; *at; at += strspn(at, " ")) {
			size_t length = strcspn(at, " ");
			const char *word = arena_copy_span(arena, at, length);
			if (!words_are_one_of(arena, word, carbon_grades) || is_alloy_grade(number, word))
				return NULL;
			at += length;
		}
		return standards[i].metal;
	}
	return NULL;
}

/* "p265gh", "p 355 nl1", "s235jr g2", "1 0425". */
static const char *by_en(const char *folded)
{
	const char *at = folded;
	if (strncmp(at, "en ", 3) == 0)
		at += 3;
	if (strncmp(at, "1 0", 3) == 0 && at[3] >= '0' && at[3] <= '7' && strspn(at + 2, "0123456789") == 4 && !at[6])
		return strcmp(at, "1 0566") == 0 ? "low-temperature carbon steel" : "carbon steel";
	if ((*at != 'p' && *at != 's') || strspn(at + 1 + (at[1] == ' '), "0123456789") != 3)
		return NULL;
	static const struct {
		const char *letter, *ending, *metal;
	} endings[] = {{"p", "gh", "carbon steel"}, {"p", "n", "carbon steel"}, {"p", "nh", "carbon steel"},
		{"p", "nb", "carbon steel"}, {"p", "tr1", "carbon steel"}, {"p", "tr2", "carbon steel"},
		{"p", "nl", "low-temperature carbon steel"}, {"p", "nl1", "low-temperature carbon steel"},
		{"p", "nl2", "low-temperature carbon steel"}, {"s", "jr", "carbon steel"}, {"s", "j0", "carbon steel"},
		{"s", "j2", "carbon steel"}, {"s", "jrg2", "carbon steel"}, {"s", "j2 n", "carbon steel"},
		{"s", "j2g3", "carbon steel"}, {"s", "k2", "carbon steel"}};
	const char *ending = at + 4 + (at[1] == ' ');
	ending += strspn(ending, " ");
	for (size_t i = 0; i < COUNT(endings); i++)
		if (*endings[i].letter == *at && strcmp(ending, endings[i].ending) == 0)
			return endings[i].metal;
	return NULL;
}

const char *metal_by_standard(struct arena *arena, const char *folded)
{
	const char *found = by_astm(arena, folded);
	return found ? found : by_en(folded);
}
