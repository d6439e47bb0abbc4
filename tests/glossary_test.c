/*
 * Remarks as lists have them, what is read from each, and what is left. All remarks are invented; what phrases mean is common
 * practice, no source.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "base/embedded.h"
#include "base/text.h"
#include "command/commands.h"
#include "import/glossary.h"

static struct arena arena;

static void release(void)
{
	arena_release(&arena);
}

TestSuite(glossary, .fini = release);

/* "traced=yes; repair1.date=2019; ?pwht": what was read in its order, doubtful ones without value, then what is left. */
static const char *shown(const char *kind, const char *remark)
{
	struct glossary_word *words;
	size_t count = glossary_read(&arena, kind, remark, &words);
	struct text out = text_in(&arena);
	for (size_t i = 0; i < count; i++) {
		const struct glossary_word *word = &words[i];
		cr_expect(word->start + word->length <= strlen(remark) && word->length > 0);
		cr_expect_eq(word->certain, !*word->why, "%s", remark);
		text_addf(&out, "%s%s", i ? "; " : "", word->certain ? "" : "?");
		if (word->child)
			text_addf(&out, "%s%zu%s", word->child, word->which, word->attribute ? "." : "");
		if (word->attribute)
			text_addf(&out, "%s", word->attribute);
		if (word->attribute && word->certain)
			text_addf(&out, "=%s", word->value);
	}
	text_addf(&out, " | %s", glossary_unread(&arena, remark, words, count));
	return out.data;
}

struct said {
	const char *kind, *remark, *expected;
};

static void expect(const struct said *rows, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		const char *found = shown(rows[i].kind, rows[i].remark);
		cr_expect_str_eq(found, rows[i].expected, "%s\n  found    %s\n  expected %s", rows[i].remark, found,
			rows[i].expected);
	}
}

/* Internals, pumps, reboilers and what runs, and what turns or doubts that. */
Test(glossary, equipment_is_read)
{
	static const struct said rows[] = {
		{"absorber", "18 valve trays, 24\" spacing", "trays=18; tray-spacing=24 in | "},
		{"absorber", "20 valve trays @ 610; swing tray 5", "trays=20; tray-spacing=610 mm | swing tray 5"},
		{"absorber", "16 Ventilb\u00f6den, Abst. 600 mm", "trays=16; tray-spacing=600 mm | "},
		{"absorber", "20 trays @ 24", "?trays | 20 trays @ 24"},
		{"regenerator", "21 trays; feed on tray 4 from top", "trays=21; feed-tray=4 | "},
		{"regenerator", "21 B\u00f6den, Zulauf Boden 4 v. o.", "trays=21; feed-tray=4 | "},
		{"regenerator", "21 B\u00f6den, Zulauf Boden 4 v. u.", "trays=21; ?feed-tray | Zulauf Boden 4 v. u"},
		{"regenerator", "feed at tray 18", " | feed at tray 18"},
		{"regenerator", "feed tray 3 or 5", "?feed-tray | feed tray 3 or 5"},
		{"absorber", "no mist eliminator", "?internals1.kind | no mist eliminator"},
		{"absorber", "Wet mist eliminator at top", "internals1.kind=demister | at top"},
		{"flash-drum", "15 min residence at half full; HC skim baffle",
			"residence-time=15 min; hydrocarbon-skimmed=yes | "},
		{"flash-drum", "KW-\u00dcberlauf", "hydrocarbon-skimmed=yes | "},
		{"flash-drum", "no oil boot", "hydrocarbon-skimmed=no | "},
		{"pump", "NPSHR max 9 ft", "npsh-required=9 ft | "},
		{"pump", "NPSHr < 3 m", " | NPSHr < 3 m"},
		{"pump", "NPSHa 2.8 m; 250 kW motor; min flow 35 m3/h",
			"npsh-available=2.8 m; power=250 kW; minimum-flow=35 m3/h | "},
		{"pump", "132 kW", " | 132 kW"},
		{"pump", "motor 37 kW or 45 kW", "?power | motor 37 kW or 45 kW"},
		{"pump", "Min. flow recycle to V-204", "minimum-flow-protection=yes | "},
		{"pump", "no min flow bypass", "minimum-flow-protection=no | "},
		{"pump", "min flow recycle proposed", "?minimum-flow-protection | min flow recycle proposed"},
		{"filter", "1 duty + 1 standby", "in-use=1; installed=2 | "},
		{"exchanger", "1 running, 1 spare; EPDM gaskets", "in-use=1; installed=2; gasket1.material=EPDM | "},
		{"exchanger", "1 duty + 1 standby (future)", "?in-use; ?installed | 1 duty + 1 standby (future"},
		{"reboiler", "Kettle, weir covers tubes by 4 in. Flux 7,650 Btu/h-ft2",
			"bundle-submergence=4 in; heat-flux=7650 Btu/(h ft2) | Kettle"},
		{"reboiler", "Area 410 m2, vertical", "area=410 m2 | vertical"},
		{"carbon-bed", "Teilstrom 4 m\u00b3/h", "flow=4 m3/h | "},
		{"line", "built 1991", "year-built=1991 | "},
		{"cooler", "Header PWHT; one fan per bay", "tube-side1.pwht=yes | one fan per bay"},
	};
	expect(rows, COUNT(rows));
}

Test(glossary, plain_phrases_are_read)
{
	static const struct said rows[] = {
		{"line", "dual plate check valve; 5D bends", "check-valve1.type=dual plate check; elbow-radius=5 | "},
		{"line", "Wafer check valve", "check-valve1 | Wafer"},
		{"pump", "2 dissimilar check valves in series at discharge",
			"check-valve1.number=2; check-valve1.dissimilar=yes | at discharge"},
		{"line", "Tie-in to be washed out before steam-out",
			"steamed-out=yes; washed-before-steam-out=yes | Tie-in to be"},
		{"vessel", "Heat-traced and insulated, full vacuum", "traced=yes; insulated=yes; vacuum-design=yes | "},
		{"vessel", "PWHT'd at 620 °C", "pwht=yes; pwht-temperature=620 degC | "},
		{"absorber", "3mm SS316L clad", "cladding-thickness=3 mm; cladding=316L; cladding-type=clad | "},
		{"line", "repaired 2019 (weld overlay)", "repair1.date=2019 | weld overlay"},
		{"absorber", "20 valve trays, stehend", "trays=20; orientation=vertical | "},
		{"condenser", "11 tubes plugged", "tube-side1.tubes-plugged=11 | "},
		{"filter", "5 \u00b5m; 15 % slipstream", "rating=5 um; slip=15 % | "},
		{"filter", "10-15 % slip", " | 10-15 % slip"},
		{"absorber", "20 valve trays, 410S. PWHT", "trays=20; pwht=yes | 410S"},
		{"vessel", "spanningsarm gegloeid; ge\u00efsoleerd", "pwht=yes; insulated=yes | "},
		{"line", "LR elbows, seamless, C.A. as class", "elbow-radius=1.5; seamless=yes | C.A. as class"},
		{"vessel", "WFMT 2021: no cracks; UT 2019: 9,2 mm",
			"inspection1.method=wet fluorescent magnetic particle; inspection1.date=2021; "
			"inspection1.cracks-found=no; "
			"wall-reading2.date=2019; wall-reading2.thickness=9.2 mm | "},
		{"line", "repaired 2016, weld repair 2021",
			"repair1.date=2016; repair2.work=weld repair; repair2.date=2021 | "},
		{"line", "orifice plate and thermowell", "fitting1.type=orifice plate; fitting2.type=thermowell | "},
		{"stream", "heat traced", " | heat traced"},
		{"line", "", " | "},
	};
	expect(rows, COUNT(rows));
}

Test(glossary, what_is_denied_is_read_as_denied)
{
	static const struct said rows[] = {
		{"line", "no PWHT", "pwht=no | "},
		{"line", "not traced, insulated", "traced=no; insulated=yes | "},
		{"line", "neither traced nor insulated", "traced=no; insulated=no | "},
		{"line", "not traced or insulated", "traced=no; insulated=no | "},
		{"line", "not heat traced but lagged", "traced=no; insulated=yes | "},
		{"line", "PWHT: N, tracing: Y", "pwht=no; traced=yes | "},
		{"line", "sans calorifuge ni traçage", "insulated=no; traced=no | "},
		{"line", "Not stress relieved, hot tap 2009 w/o PWHT",
			"?pwht; repair1.work=hot tap; repair1.date=2009; repair1.pwht=no | Not stress relieved"},
		{"line", "PWHT: none", "pwht=no | "},
		{"line", "PWHT not carried out", "pwht=no | "},
		{"vessel", "not designed for full vacuum", "vacuum-design=no | "},
		{"line", "must be washed with water before steam-out",
			"steamed-out=yes; washed-before-steam-out=yes | must be"},
		{"line", "steam-out only after water wash", "?steamed-out | steam-out only after water wash"},
		{"line", "Do not steam out before washing", "?steamed-out | Do not steam out before washing"},
		{"line", "Steamed out without water washing", "steamed-out=yes; washed-before-steam-out=no | "},
		{"vessel", "no cladding, no cracks found", "cladding=none; inspection1.cracks-found=no | "},
		{"line", "PWHT no / traced yes", "pwht=no; traced=yes | "},
		{"line", "traced not insulated", "?traced; insulated=no | traced"},
		{"line", "no check valve", "?check-valve1 | no check valve"},
		{"line", "not repaired, not inspected since commissioning",
			"?repair1 | not repaired, not inspected since commissioning"},
	};
	expect(rows, COUNT(rows));
}

Test(glossary, what_is_asked_conditional_or_of_a_part_is_left)
{
	static const struct said rows[] = {
		{"line", "PWHT?", "?pwht | PWHT?"},
		{"line", "PWHT n/r", "?pwht | PWHT n/r"},
		{"line", "PWHT not required", "?pwht | PWHT not required"},
		{"line", "heat traced, t.b.c.", "?traced | heat traced, t.b.c"},
		{"line", "traced - see note 3", "?traced | traced - see note 3"},
		{"line", "traced (3)", "?traced | traced (3"},
		{"line", "insulated*", "?insulated | insulated*"},
		{"line", "PWHT if hardness exceeds 200 HB", "?pwht | PWHT if hardness exceeds 200 HB"},
		{"line", "traced from block valve to drum", "?traced | traced from block valve to drum"},
		{"line", "insulated, upstream part only", "?insulated | insulated, upstream part only"},
		{"line", "flanges not insulated", "?insulated | flanges not insulated"},
		{"line", "tracing removed", "?traced | tracing removed"},
		{"line", "was insulated", "?insulated | was insulated"},
		{"line", "to be repaired 2027", "?repair1.date | to be repaired 2027"},
		{"line", "next inspection 2028", "?inspection1.date | next inspection 2028"},
		{"line", "traced; not traced", "?traced; ?traced | traced; not traced"},
		{"line", "not only traced and insulated", "?traced; ?insulated | not only traced and insulated"},
		{"line", "PWHT for wall > 19 mm", "?pwht | PWHT for wall > 19 mm"},
		{"line", "PWHT no insulated yes", "?pwht; ?insulated | PWHT no insulated yes"},
		{"line", "PWHT no insulated", "?pwht; ?insulated | PWHT no insulated"},
		{"line", "5D bends, one 3D bend", "?elbow-radius; ?elbow-radius | 5D bends, one 3D bend"},
		{"line", "PWHT waived", "?pwht | PWHT waived"},
		{"line", "PWHT per code", "?pwht | PWHT per code"},
		{"line", "lack of PWHT", "?pwht | lack of PWHT"},
		{"line", "no PWHT required", "?pwht | no PWHT required"},
		{"line", "insulation stripped 2015", "?insulated | insulation stripped 2015"},
		{"line", "Traced? no", "?traced | Traced? no"},
		{"line", "spectacle blind missing", "?isolation1.by | spectacle blind missing"},
		{"line", "nothing about that here", " | nothing about that here"},
		{"line", "PWHT or 200 HB max", "?pwht | PWHT or 200 HB max"},
	};
	expect(rows, COUNT(rows));
}

Test(glossary, a_figure_that_is_not_plain_is_no_value)
{
	static const struct said rows[] = {
		{"vessel", "corrosion allowance 3 mm", "corrosion-allowance=3 mm | "},
		{"vessel", "corrosion allowance 3-6 mm", " | corrosion allowance 3-6 mm"},
		{"vessel", "corrosion allowance 3", " | corrosion allowance 3"},
		{"vessel", "ca. 3 mm 316L clad", "?cladding; ?cladding-type | ca. 3 mm 316L clad"},
		{"vessel", "clad 304L/316L", " | clad 304L/316L"},
		{"line", "repaired 2019/2020", "repair1 | 2019/2020"},
		{"line", "repaired 14.05.2019", "repair1 | 14.05.2019"},
		{"line", "repaired 2019-05", "repair1.date=2019-05 | "},
		{"line", "retired 3 mm", " | retired 3 mm"},
		{"line", "UT 2019 1,250 mm", " | UT 2019 1,250 mm"},
		{"line", "Inspected 2018: cracks found, repaired 2019 with PWHT",
			"inspection1.date=2018; inspection1.cracks-found=yes; repair2.date=2019; repair2.pwht=yes | "
			"with"},
		{"line", "3-5D bends", " | 3-5D bends"},
	};
	expect(rows, COUNT(rows));
}

Test(glossary, what_holds_for_a_part_or_a_repair_is_not_said_of_the_item)
{
	static const struct said rows[] = {
		{"regenerator", "316L clad to 2 m above feed",
			"part1.name=316L clad to 2 m above feed; part1.cladding=316L; part1.cladding-type=clad | to 2 "
			"m above feed"},
		{"regenerator", "316L clad, bottom head only",
			"?cladding; ?cladding-type | 316L clad, bottom head only"},
		{"nozzle", "316L clad below tray 4", "?cladding; ?cladding-type | 316L clad below tray 4"},
		{"line", "weld repair 2019 without PWHT",
			"repair1.work=weld repair; repair1.date=2019; repair1.pwht=no | "},
		{"line", "new line, replaces 6-P-101 (not PWHT)", "?pwht | new line, replaces 6-P-101 (not PWHT"},
		{"exchanger", "tubes seamless", "?seamless | tubes seamless"},
		{"vessel", "shell PWHT, channel not", "?pwht | shell PWHT, channel not"},
		{"vessel", "WFMT 2016 found cracking at nozzle N4",
			"inspection1.method=wet fluorescent magnetic particle; inspection1.date=2016; "
			"inspection1.cracks-found=yes | at nozzle N4"},
		{"vessel", "No cracks found in 2015; cracks found 2019",
			"inspection1.cracks-found=no; inspection1.date=2015; inspection2.cracks-found=yes; "
			"inspection2.date=2019 | "},
		{"line", "weld repair 2019, PWHT", "repair1.work=weld repair; repair1.date=2019; repair1.pwht=yes | "},
		{"line", "PWHT, weld repair 2019", "?pwht; repair1.work=weld repair; repair1.date=2019 | PWHT"},
		{"line", "weld repair 2019; PWHT", "repair1.work=weld repair; repair1.date=2019; ?pwht | PWHT"},
	};
	expect(rows, COUNT(rows));
}

Test(glossary, other_languages_are_read)
{
	static const struct said rows[] = {
		{"line", "Rückschlagklappe, isoliert, Begleitheizung",
			"check-valve1.type=swing check; insulated=yes; traced=yes | "},
		{"line", "ohne Begleitheizung, nicht isoliert", "traced=no; insulated=no | "},
		{"line", "spannungsarm geglüht", "pwht=yes | "},
		{"vessel", "REPARIERT 2018; keine Risse gefunden", "repair1.date=2018; inspection2.cracks-found=no | "},
		{"line", "vor dem Ausdämpfen mit Wasser gespült", "steamed-out=yes; washed-before-steam-out=yes | "},
		{"line", "isoliert? siehe Anm.", "?insulated | isoliert? siehe Anm"},
		{"line", "tuyauterie sans soudure, calorifugé", "seamless=yes; insulated=yes | tuyauterie"},
		{"line", "ni calorifugé ni tracé", "insulated=no; traced=no | "},
		{"line", "weder isoliert noch begleitbeheizt", "insulated=no; traced=no | "},
		{"line", "TTAS non requis", "?pwht | TTAS non requis"},
		{"line", "alivio de tensiones no requerido", "?pwht | alivio de tensiones no requerido"},
		{"line", "spannungsarm geglüht (außer Stutzen)", "?pwht | spannungsarm geglüht (außer Stutzen"},
		{"line", "Reparaturschweißung 2014 ohne Wärmenachbehandlung",
			"repair1.work=weld repair; repair1.date=2014; repair1.pwht=no | "},
		{"line", "clapet anti-retour à battant; pas de traçage", "check-valve1.type=swing check; traced=no | "},
		{"line", "détensionné; coudes 3D", "pwht=yes; elbow-radius=3 | "},
		{"line", "Válvula de retención; tubería sin costura, enterrada",
			"check-valve1; seamless=yes; buried=yes | tubería"},
		{"line", "alivio de tensiones a 620 °C; sin grietas",
			"pwht=yes; pwht-temperature=620 degC; inspection1.cracks-found=no | "},
		{"line", "sin traceado", "traced=no | "},
	};
	expect(rows, COUNT(rows));
}

/* ---- the table against the schema ---- */

static void expect_set(const struct vocabulary_element *element, const char *name, const char *value)
{
	const struct vocabulary_attribute *attribute = vocabulary_attribute(element, name);
	cr_assert(attribute, "%s has no %s", element->name, name);
	if (*value != '$' && attribute->type->choice_count)
		cr_expect(vocabulary_choice(attribute->type, value), "%s of %s is no '%s'", name, element->name, value);
}

static void expect_sets(const struct vocabulary_element *element, const char *sets)
{
	char *copy = arena_copy(&arena, sets), *next = NULL;
	for (char *set = strtok_r(copy, ";", &next); set; set = strtok_r(NULL, ";", &next)) {
		char *value = strchr(set, '=');
		cr_assert(value, "%s", sets);
		*value++ = '\0';
		expect_set(element, set, value);
	}
}

Test(glossary, every_row_is_of_the_schema)
{
	const struct vocabulary_element *unit = vocabulary_root(unit_vocabulary(&arena), "unit");
	const struct vocabulary *all = unit_vocabulary(&arena);
	const char *kinds, *child, *sets;
	cr_assert(unit);
	for (size_t i = 0; glossary_row(i, &kinds, &child, &sets); i++) {
		char *copy = arena_copy(&arena, kinds), *next = NULL;
		for (char *kind = strtok_r(copy, " ", &next); kind; kind = strtok_r(NULL, " ", &next)) {
			const struct vocabulary_element *item = NULL;
			for (size_t k = 0; k < all->element_count; k++)
				if (strcmp(all->elements[k]->name, kind) == 0)
					item = all->elements[k];
			cr_assert(item, "there is no %s", kind);
			const struct vocabulary_element *of = child ? vocabulary_child(item, child) : item;
			cr_assert(of, "%s has no %s", kind, child);
			expect_sets(of, sets);
		}
	}
}
