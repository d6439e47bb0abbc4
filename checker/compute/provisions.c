#include "compute/provisions.h"

#include "base/text.h"
#include "compute/scene.h"

/* ---- the largest of several ---- */

typedef const struct quantity *value_of(const struct scene *scene, const struct item *item);

/* The item of the kind whose value is largest, among those that are known; NULL: none is. */
static const struct item *largest_of(const struct scene *scene, const char *kind, value_of *value)
{
	struct items all = table_of_kind(scene->table, kind);
	const struct item *largest = NULL;
	double most = 0;
	for (size_t i = 0; i < all.count; i++) {
		const struct quantity *one = value(scene, all.rows[i]);
		if (!one || !is_number(one) || (largest && one->si <= most))
			continue;
		largest = all.rows[i];
		most = one->si;
	}
	return largest;
}

static const struct quantity *share_filtered(const struct scene *scene, const struct item *filter)
{
	bool lean = text_same(scene_word_of(scene, filter, "service"), "lean");
	bool coarse = text_same(scene_word_of(scene, filter, "kind"), "basket strainer");
	return lean && !coarse ? scene_get_of(scene, filter, "slip-judged") : NULL;
}

static const struct quantity *bisulfide(const struct scene *scene, const struct item *stream)
{
	bool reflux = text_same(scene_word_of(scene, stream, "service"), "reflux");
	return reflux ? scene_get_of(scene, stream, "nh4hs") : NULL;
}

/* ---- a film that is relied on ---- */

static bool is_film_claim(const struct scene *scene, const struct item *claim)
{
	if (text_same(scene_word_of(scene, claim, "says"), "film protects"))
		return true;
	const struct item *about = table_follow(scene->table, claim, scene->operating_case, "about");
	return text_same(scene_word_of(scene, claim, "quantity"), "h2s") && scene_word_of(scene, claim, "at-least") &&
		about && text_same(scene_word_of(scene, about, "service"), "lean");
}

static void film(const struct scene *scene)
{
	static const char *const kinds[] = {"claim", "operating-limit"};
	bool claimed = false;
	for (size_t k = 0; k < 2; k++) {
		struct items all = table_of_kind(scene->table, kinds[k]);
		for (size_t i = 0; i < all.count; i++)
			claimed = claimed || is_film_claim(scene, all.rows[i]);
	}
	scene_put_word(scene, "film-claimed", KIND_YES_NO, claimed ? "yes" : "no",
		"from the claims and operating limits of the package");
}

static void of_unit(const struct scene *scene)
{
	if (!item_is(scene->item, "unit"))
		return;
	const struct item *filter = largest_of(scene, "filter", share_filtered),
			  *reflux = largest_of(scene, "stream", bisulfide);
	if (filter)
		scene_take(scene, "lean-filtered", filter, "slip-judged");
	if (reflux)
		scene_take(scene, "reflux-bisulfide", reflux, "nh4hs");
	film(scene);
}

void provisions_compute(struct table *table)
{
	scene_each(table, of_unit);
}
