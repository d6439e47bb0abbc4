#include <math.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/count.h"
#include "simulate.h"

enum { H2S, CO2 };

static const double barometric = 101325, hour = 3600;
static const char *const absorber_tags[] = {"C-101", "C-102", "C-103"}, *const feeds[] = {"feed-1", "feed-2", "feed-3"},
			 *const treated[] = {"treated-1", "treated-2", "treated-3"},
			 *const leans[] = {"lean-1", "lean-2", "lean-3"},
			 *const riches[] = {"rich-1", "rich-2", "rich-3"}, *const documents[] = {"HMB", "DS", "PFD"};

struct maker {
	struct simulated_package *out;
	struct chance *chance;
	double scatter;
};

static double scattered(const struct maker *maker, enum stated_sort sort, double value)
{
	double c = maker->scatter, n = chance_normal(maker->chance);

	switch (sort) {
	case SORT_TEMPERATURE:
		return value + 50 * c * n;
	case SORT_LOADING:
		return value * exp(2 * c * n);
	case SORT_COMPOSITION:
	case SORT_DUTY:
	case SORT_RATIO:
		return value * exp(1.5 * c * n);
	case SORT_STRENGTH:
		return value + 100 * c * n / 3; /* per cent */
	case SORT_PRESSURE:
		return value * exp(0.5 * c * n);
	default:
		return value * exp(c * n);
	}
}

void simulate_print_value(struct simulated_value *value)
{
	double shown = value->value;

	if (value->sort == SORT_TEMPERATURE || value->sort == SORT_STRENGTH) {
		snprintf(value->written, sizeof value->written, "%.*f %s", value->digits, shown, value->unit);
		return;
	}
	int decimals = value->digits - 1 - (int)floor(log10(fabs(shown)));
	double unit = pow(10, -decimals);
	snprintf(value->written, sizeof value->written, "%.*f%s%s", decimals > 0 ? decimals : 0,
		unit * round(shown / unit), *value->unit ? " " : "", value->unit);
}

static struct simulated_value *add(struct maker *maker, struct simulated_value value)
{
	struct simulated_value *kept = &maker->out->values[maker->out->count];

	if (maker->out->count + 1 >= MOST_STATED)
		return kept;
	maker->out->count++;
	*kept = value;
	simulate_print_value(kept);
	return kept;
}

/* The balance's figure; and other documents', most of which copy it. */
static void say(struct maker *maker, const char *item, const char *attribute, enum stated_sort sort, double value,
	const char *unit, int digits)
{
	static const double said_again[] = {0, 0.5, 0.2}, copied = 0.6;
	struct simulated_value first = {item, attribute, sort, unit, 0, digits, scattered(maker, sort, value), ""};

	add(maker, first);
	for (int document = 1; document < 3; document++) {
		struct simulated_value again = first;
		if (chance_uniform(maker->chance, 0, 1) > said_again[document])
			continue;
		again.document = document;
		if (chance_uniform(maker->chance, 0, 1) > copied)
			again.value = scattered(maker, sort, value);
		add(maker, again);
	}
}

/* As documents print flows: moles, mass or volume. */
static void say_gas(struct maker *maker, const char *item, double flow, double temperature, const double *share)
{
	say(maker, item, "flow", SORT_FLOW, flow * hour / 1000, "kmol/h", 4);
	say(maker, item, "temperature", SORT_TEMPERATURE, temperature, "degC", 1);
	if (share[H2S] > 1e-3)
		say(maker, item, "h2s", SORT_COMPOSITION, 100 * share[H2S], "mol%", 3);
	else
		say(maker, item, "h2s", SORT_COMPOSITION, 1e6 * share[H2S], "ppmv", 2);
	say(maker, item, "co2", SORT_COMPOSITION, 100 * share[CO2], "mol%", 3);
}

static void say_liquid(
	struct maker *maker, const char *item, double mass, double temperature, const double *loading, bool volume)
{
	double density = simulate_density(&maker->out->truth.design, temperature, loading);

	if (volume)
		say(maker, item, "flow", SORT_FLOW, mass * hour / density, "m3/h", 3);
	else
		say(maker, item, "flow", SORT_FLOW, mass * hour, "kg/h", 4);
	say(maker, item, "temperature", SORT_TEMPERATURE, temperature, "degC", 1);
	say(maker, item, "density", SORT_DENSITY, density, "kg/m3", 4);
	say(maker, item, "h2s", SORT_LOADING, loading[H2S], "", loading[H2S] > 0.05 ? 3 : 2);
	say(maker, item, "co2", SORT_LOADING, loading[CO2], "", loading[CO2] > 0.05 ? 3 : 2);
}

static void say_absorbers(struct maker *maker)
{
	const struct simulated *s = &maker->out->truth;
	const struct simulated_design *d = &s->design;

	for (size_t i = 0; i < d->absorbers && i < COUNT(feeds); i++) {
		say_gas(maker, feeds[i], d->gas[i], d->gas_temperature[i], d->before[i]);
		say_gas(maker, treated[i], s->treated[i], d->lean_temperature + d->warmer[i], d->after[i]);
		if (d->absorbers > 1)
			say_liquid(maker, leans[i], s->lean_mass[i], d->lean_temperature, d->lean_loading, i % 2 == 0);
		say_liquid(maker, riches[i], s->rich_mass[i], s->rich_temperature[i], s->rich[i], false);
		say(maker, absorber_tags[i], "bottom-temperature", SORT_TEMPERATURE, s->rich_temperature[i], "degC", 0);
	}
}

static void say_regenerator(struct maker *maker)
{
	const struct simulated *s = &maker->out->truth;
	const struct simulated_design *d = &s->design;

	say(maker, "C-201", "top-temperature", SORT_TEMPERATURE, s->top_temperature, "degC", 0);
	say(maker, "C-201", "bottom-temperature", SORT_TEMPERATURE, s->hot_lean, "degC", 0);
	say(maker, "C-201", "top-pressure", SORT_PRESSURE, d->top_pressure / 1e5, "bara", 3);
	say(maker, "C-201", "bottom-pressure", SORT_PRESSURE, s->bottom_pressure / 1e5, "bara", 3);
	say(maker, "C-201", "reflux-ratio", SORT_RATIO, s->reflux / (s->acid_gas * 0.018015), "", 3);
	say(maker, "E-203", "duty", SORT_DUTY, s->reboiler / 1e3, "kW", 3);
	say(maker, "E-203", "steam-flow", SORT_FLOW, s->steam * hour, "kg/h", 3);
	say(maker, "E-203", "steam-pressure", SORT_PRESSURE, d->steam_pressure / 1e5, "bara", 3);
	say(maker, "E-204", "duty", SORT_DUTY, s->condenser / 1e3, "kW", 3);
	say(maker, "V-202", "temperature", SORT_TEMPERATURE, d->drum_temperature, "degC", 0);
	say(maker, "V-202", "pressure", SORT_PRESSURE, s->drum_pressure / 1e5, "bara", 3);
	say(maker, "reflux", "flow", SORT_FLOW, s->reflux * hour, "kg/h", 3);
	say(maker, "overhead", "flow", SORT_FLOW, s->overhead * hour, "kg/h", 3);
	say(maker, "overhead", "temperature", SORT_TEMPERATURE, s->top_temperature, "degC", 1);
	say_gas(maker, "acid-gas", s->acid_gas, d->drum_temperature, s->acid_share);
}

void simulate_package(
	const struct simulated *truth, double scatter, struct chance *chance, struct simulated_package *out)
{
	struct maker maker = {out, chance, scatter};
	const struct simulated_design *d = &truth->design;

	out->truth = *truth;
	out->count = 0;
	say(&maker, "solvent", "strength", SORT_STRENGTH, 100 * d->strength, "wt%", 1);
	say_absorbers(&maker);
	say_liquid(&maker, "lean-hot", truth->lean_mass_total, truth->hot_lean, d->lean_loading, false);
	say_liquid(&maker, "lean-warm", truth->lean_mass_total, truth->warm_lean, d->lean_loading, false);
	say_liquid(&maker, "lean-cold", truth->lean_mass_total, d->lean_temperature, d->lean_loading, true);
	say_liquid(&maker, "rich-flashed", truth->rich_mass_total, truth->mixed_temperature, truth->flash_out, false);
	say_liquid(&maker, "rich-hot", truth->rich_mass_total, truth->hot_rich, truth->flash_out, false);
	say_gas(&maker, "flash-gas", truth->flash_gas, truth->mixed_temperature, truth->flash_share);
	say(&maker, "E-201", "duty", SORT_DUTY, truth->exchange / 1e3, "kW", 3);
	say(&maker, "E-202", "duty", SORT_DUTY, truth->cooler / 1e3, "kW", 3);
	say(&maker, "E-202", "outlet-temperature", SORT_TEMPERATURE, d->lean_temperature, "degC", 0);
	say_regenerator(&maker);
}

/* ---- the description ---- */

struct writer {
	char *out;
	size_t size, length;
	const struct simulated_package *package;
};

static void put(struct writer *writer, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void put(struct writer *writer, const char *format, ...)
{
	va_list arguments;

	va_start(arguments, format);
	int wanted = vsnprintf(writer->out + writer->length, writer->size - writer->length, format, arguments);
	va_end(arguments);
	if (wanted >= 0 && (size_t)wanted < writer->size - writer->length)
		writer->length += (size_t)wanted;
	else
		writer->size = writer->length + 1; /* full: nothing more fits */
}

/* An element with what is stated of it; `inside`: elements within. */
static void element(struct writer *writer, const char *kind, const char *item, const char *fixed, const char *inside)
{
	const struct simulated_package *package = writer->package;

	put(writer, "<%s %s", kind, fixed);
	for (size_t i = 0; i < package->count; i++)
		if (package->values[i].document == 0 && strcmp(package->values[i].item, item) == 0)
			put(writer, " %s=\"%s\"", package->values[i].attribute, package->values[i].written);
	put(writer, ">%s", inside);
	for (int document = 1; document < 3; document++)
		for (size_t i = 0; i < package->count; i++)
			if (package->values[i].document == document && strcmp(package->values[i].item, item) == 0)
				put(writer, "<stated document=\"%s\" %s=\"%s\"/>", documents[document],
					package->values[i].attribute, package->values[i].written);
	put(writer, "</%s>\n", kind);
}

static void stream(struct writer *writer, const char *id, const char *service, const char *from, const char *to)
{
	char fixed[200];

	snprintf(fixed, sizeof fixed, "id=\"%s\" service=\"%s\"%s%s%s%s%s%s", id, service, *from ? " from=\"" : "",
		from, *from ? "\"" : "", *to ? " to=\"" : "", to, *to ? "\"" : "");
	element(writer, "stream", id, fixed, "");
}

static void put_absorbers(struct writer *writer)
{
	const struct simulated_design *d = &writer->package->truth.design;
	char fixed[300];

	for (size_t i = 0; i < d->absorbers && i < COUNT(feeds); i++) {
		double pressure = d->pressure[i] / 1e5;
		snprintf(fixed, sizeof fixed, "id=\"%s\" role=\"feed\" water-saturated=\"yes\" pressure=\"%.1f bara\"",
			feeds[i], pressure);
		element(writer, "gas", feeds[i], fixed, "");
		snprintf(
			fixed, sizeof fixed, "id=\"%s\" role=\"treated\" pressure=\"%.1f bara\"", treated[i], pressure);
		element(writer, "gas", treated[i], fixed, "");
		const char *lean = d->absorbers > 1 ? leans[i] : "lean-cold";
		if (d->absorbers > 1)
			stream(writer, lean, "lean", "", absorber_tags[i]);
		stream(writer, riches[i], "rich", absorber_tags[i], "V-201");
		snprintf(fixed, sizeof fixed, "tag=\"%s\" gas=\"%s\" treated=\"%s\" lean=\"%s\" rich=\"%s\"",
			absorber_tags[i], feeds[i], treated[i], lean, riches[i]);
		element(writer, "absorber", absorber_tags[i], fixed, "");
	}
	if (d->absorbers > 1)
		put(writer, "<network><split tag=\"header\" from=\"lean-cold\" to=\"lean-1 lean-2%s\"/></network>\n",
			d->absorbers > 2 ? " lean-3" : "");
}

int simulate_describe(const struct simulated_package *package, char *out, size_t size)
{
	static const char *const names[SIMULATED_AMINES] = {"MEA", "DEA", "MDEA"};
	struct writer w = {.size = size, .package = package};
	char fixed[80];

	w.out = out;
	put(&w,
		"<unit xmlns=\"urn:leanrich:unit:1\" number=\"U-1\"><basis kind=\"new\" barometric-pressure=\"%g "
		"bara\"><case id=\"normal\"/></basis>\n",
		barometric / 1e5);
	snprintf(fixed, sizeof fixed, "amine=\"%s\"", names[package->truth.design.amine]);
	element(&w, "solvent", "solvent", fixed, "");
	put_absorbers(&w);
	stream(&w, "lean-hot", "lean", "C-201", "E-201");
	stream(&w, "lean-warm", "lean", "E-201", "E-202");
	stream(&w, "lean-cold", "lean", "E-202", package->truth.design.absorbers > 1 ? "" : "C-101");
	stream(&w, "rich-flashed", "rich", "V-201", "E-201");
	stream(&w, "rich-hot", "rich", "E-201", "C-201");
	element(&w, "stream", "overhead",
		"id=\"overhead\" service=\"acid gas\" from=\"C-201\" to=\"E-204\" gas=\"acid-gas\"", "");
	stream(&w, "reflux", "reflux", "V-202", "C-201");
	element(&w, "gas", "acid-gas", "id=\"acid-gas\" role=\"acid gas\"", "");
	element(&w, "gas", "flash-gas", "id=\"flash-gas\" role=\"flash gas\"", "");
	element(&w, "flash-drum", "V-201", "tag=\"V-201\" rich-outlet=\"rich-flashed\" gas=\"flash-gas\"", "");
	element(&w, "exchanger", "E-201", "tag=\"E-201\" service=\"lean/rich\"",
		"<tube-side inlet=\"rich-flashed\" outlet=\"rich-hot\"/><shell-side inlet=\"lean-hot\" "
		"outlet=\"lean-warm\"/>");
	element(&w, "cooler", "E-202", "tag=\"E-202\" service=\"lean\"",
		"<shell-side inlet=\"lean-warm\" outlet=\"lean-cold\"/>");
	element(&w, "regenerator", "C-201",
		"tag=\"C-201\" feed=\"rich-hot\" lean=\"lean-hot\" acid-gas=\"overhead\" reflux=\"reflux\"", "");
	element(&w, "reboiler", "E-203", "tag=\"E-203\" regenerator=\"C-201\" heating-medium=\"steam\"", "");
	element(&w, "condenser", "E-204", "tag=\"E-204\" acid-gas=\"overhead\"", "");
	element(&w, "reflux-drum", "V-202", "tag=\"V-202\" acid-gas=\"overhead\" reflux=\"reflux\"", "");
	put(&w, "</unit>\n");
	return w.size == size;
}
