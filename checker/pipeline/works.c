#include "pipeline/works.h"

struct pass *works_pass(struct seen *seen, uintptr_t visitor, size_t turn)
{
	for (size_t i = 0, at = seen->pass_next; i < seen->pass_count; i++, at++) {
		at = at < seen->pass_count ? at : 0;
		if (seen->passes[at].visitor != visitor || seen->passes[at].turn != turn)
			continue;
		seen->pass_next = at + 1;
		return &seen->passes[at];
	}
	return NULL;
}

struct pass *works_add_pass(struct arena *arena, struct seen *seen, uintptr_t visitor, size_t turn, size_t items)
{
	seen->passes = arena_grow(arena, seen->passes, seen->pass_count, &seen->pass_capacity, sizeof *seen->passes);
	struct pass *pass = &seen->passes[seen->pass_count++];
	*pass = (struct pass){visitor, turn, arena_alloc(arena, (items + 1) * sizeof *pass->of_item)};
	return pass;
}

void works_add(struct arena *arena, struct seen *seen, struct work *work)
{
	seen->works = arena_grow(arena, seen->works, seen->work_count, &seen->work_capacity, sizeof(struct work *));
	seen->works[seen->work_count++] = work;
}

void works_look(struct arena *arena, struct work *work, uint32_t look)
{
	work->looks = arena_grow(arena, work->looks, work->look_count, &work->look_capacity, sizeof *work->looks);
	work->looks[work->look_count++] = look;
}

void works_put(struct arena *arena, struct work *work, struct put put)
{
	work->puts = arena_grow(arena, work->puts, work->put_count, &work->put_capacity, sizeof *work->puts);
	work->puts[work->put_count++] = put;
	work->first_count += put.quantity != NULL;
}

bool works_has_put(const struct work *work, uint32_t pair, int operating_case)
{
	bool has = false;
	for (size_t i = 0; i < work->put_count; i++)
		has = has || (work->puts[i].pair == pair && work->puts[i].operating_case == operating_case);
	return has;
}

bool works_looks_at(const struct work *work, const bits *looks)
{
	bool any = false;
	for (size_t i = 0; i < work->look_count && !any; i++)
		any = bits_have(looks, work->looks[i]);
	return any;
}

bool works_puts_any(const struct work *work, const bits *pairs)
{
	bool any = false;
	for (size_t i = 0; i < work->put_count && !any; i++)
		any = bits_have(pairs, work->puts[i].pair);
	return any;
}

/* What only looks at what is stated asks for nothing that is put. */
static void need(struct work *work, bits *pairs)
{
	work->needed = true;
	for (size_t i = 0; i < work->look_count; i++)
		if (!(work->looks[i] & 1))
			bits_add(pairs, work->looks[i] / 2);
}

/* A module that runs does what it does between its passes, be it asked for or not. */
static bool need_between(struct seen *seen, bits *pairs)
{
	bool more = false;
	for (size_t i = 0; i < seen->between_count; i++)
		if (seen->between[i] && !seen->between[i]->needed) {
			need(seen->between[i], pairs);
			more = true;
		}
	return more;
}

static bool need_works(struct seen *seen, bits *pairs)
{
	bool more = false;
	for (size_t i = seen->work_count; i-- > 0;)
		if (!seen->works[i]->needed && (seen->adds || works_puts_any(seen->works[i], pairs))) {
			need(seen->works[i], pairs);
			more = true;
		}
	return more;
}

static void choose_of(struct seen *seen, bits *pairs)
{
	for (size_t i = 0; i < seen->work_count; i++)
		seen->works[i]->needed = false;
	seen->needed = seen->adds || seen->beyond;
	for (bool more = true; more;) {
		more = need_works(seen, pairs);
		seen->needed = seen->needed || more;
		more = seen->needed && need_between(seen, pairs);
	}
}

void works_choose(struct seen *modules, size_t count, bits *pairs)
{
	for (size_t m = count; m-- > 0;)
		choose_of(&modules[m], pairs);
}
