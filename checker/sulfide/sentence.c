#include "sulfide/sentence.h"

#include <string.h>

struct sentence_builder sentence_in(struct arena *arena)
{
	return (struct sentence_builder){.text = text_in(arena)};
}

void sentence_say(struct sentence_builder *builder, const char *words)
{
	text_add(&builder->text, words);
}

static void add(struct sentence_builder *builder, const char *name, double value, const char *shown)
{
	builder->figures = arena_grow(
		builder->text.arena, builder->figures, builder->count, &builder->capacity, sizeof *builder->figures);
	builder->figures[builder->count++] = (struct figure_said){name, value, shown};
	text_add(&builder->text, shown);
}

void sentence_figure(struct sentence_builder *builder, const char *name, double si, enum kind kind, const char *unit)
{
	const char *shown = quantity_show_si(builder->text.arena, si, kind, unit);
	add(builder, name, quantity_in(si, kind, unit ? unit : kind_unit(kind)), shown);
}

/* Thousands are separated by commas: ages run to 25,000 h. */
static const char *with_commas(struct arena *arena, double value, int decimals)
{
	char *plain = arena_format(arena, "%.*f", decimals, value);
	size_t whole = strcspn(plain, ".");
	struct text text = text_in(arena);
	for (size_t i = 0; plain[i]; i++) {
		if (i > 0 && i < whole && (whole - i) % 3 == 0 && plain[i - 1] != '-')
			text_add_char(&text, ',');
		text_add_char(&text, plain[i]);
	}
	return text.data;
}

void sentence_number(struct sentence_builder *builder, const char *name, double value, int decimals, const char *after)
{
	struct arena *arena = builder->text.arena;
	add(builder, name, value, arena_format(arena, "%s%s", with_commas(arena, value, decimals), after));
}

struct sentence sentence_end(struct sentence_builder *builder)
{
	return (struct sentence){builder->text.data, builder->figures, builder->count};
}
