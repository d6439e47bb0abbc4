/* What a sheet says that must not be taken for something else, and beside each the like that is. All sheets are invented. */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "drafted.h"
#include "review_support.h"

static struct trial trial;

static void begin(void)
{
	drafted_begin();
	shell_begin();
}

static void end(void)
{
	shell_end();
	trial_close(&trial);
}

TestSuite(not_taken, .init = begin, .fini = end);

struct row {
	const char *sheet, *holds, *not ;
};

static void expect_rows(const struct row *rows, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		const char *said, *draft = drafted(&trial.arena, rows[i].sheet, &said);
		cr_expect(strstr(draft, rows[i].holds), "%zu: %s\n%s%s", i, rows[i].holds, draft, said);
		cr_expect(!rows[i].not || !strstr(draft, rows[i].not ), "%zu: %s\n%s", i, rows[i].not, draft);
	}
}

/* Two figures under one heading: what is new is the value, what was before a note; where no word says it, neither is. */
Test(not_taken, what_was_before_a_revamp)
{
	static const struct row rows[] = {
		{"Tag,Service,\"Design Press, psig\",,\"Duty, MMBtu/h\",\n,,Exist,New,Exist,New\n"
		 "V-7,Rich amine flash drum,60,90,,\nE-8,Amine reboiler,55,55,9.5,12.5\n",
			"design-pressure=\"90 psig\"", "design-pressure=\"60"},
		{"Tag,Service,\"Design Press, psig\",,\"Duty, MMBtu/h\",\n,,Exist,New,Exist,New\n"
		 "V-7,Rich amine flash drum,60,90,,\nE-8,Amine reboiler,55,55,9.5,12.5\n",
			"duty=\"12.5 MMBtu/h\"", "duty=\"9.5"},
		{"Tag,Service,\"Design Press, psig\",,\"Duty, MMBtu/h\",\n,,Exist,New,Exist,New\n"
		 "V-7,Rich amine flash drum,60,90,,\nE-8,Amine reboiler,55,55,9.5,12.5\n",
			"Design Press / Exist: 60", NULL},
		{"Tag,Service,\"Design Press, psig\",,Size\n,,Alpha,Beta,\nV-7,Rich amine flash drum,60,90,900 x "
		 "2400\n",
			"Alpha: 60", "design-pressure"},
		/* alone, an existing one is described as it stands */
		{"Tag,Service,Existing,\n,,\"Design Press, psig\",\"Design Temp, F\"\nV-7,Rich amine flash "
		 "drum,60,250\n",
			"design-pressure=\"60 psig\" design-temperature=\"250", NULL},
	};
	expect_rows(rows, COUNT(rows));
}

/* The rows of a list of parameters are no streams, instruments no relief valves and no lines. */
Test(not_taken, a_row_number_or_an_instrument_for_an_item)
{
	static const struct row rows[] = {
		{"Tag,Service,Diameter mm\nV-7,Flash drum,900\n\nTag,Protects,Set psig\nPSV-7,V-7,90\nLALL-12,V-7,15\n",
			"<relief-valve tag=\"PSV-7\"", "<relief-valve tag=\"LALL"},
		{"Stream,Description,Temp F\n1,Lean amine,110\n2,Rich amine,140\n", "<stream id=\"2\"", NULL},
	};
	expect_rows(rows, COUNT(rows));
	struct run run = shell(&trial.arena,
		"cd $SCRATCH; printf 'Tag,Description,Diameter mm\\nV-7,Flash drum,900\\n' >eq.csv; "
		"printf 'Item,Description,Units,Value,Remarks\\n1,Lean amine rate,gpm,200,\\n2,Sour gas "
		"rate,MMscfd,12,at "
		"the fence\\n3,Reboiler duty,MMBtu/h,9,\\n' >basis.csv; "
		"printf 'Loop,Service,From,To,Unit\\nFIC-101,Lean amine,0,90,m3/h\\nTICA-102,Reboiler,50,150,degC\\n' "
		">loops.csv; "
		"\"$LEANRICH\" import --quiet --propose -o m.xml eq.csv basis.csv loops.csv 2>/dev/null; "
		"\"$LEANRICH\" import --quiet --map m.xml -o d.xml eq.csv basis.csv loops.csv 2>/dev/null; "
		"grep -cE '<(stream|gas) id=.[0-9]|<(line|reboiler)' d.xml; grep -c 'stream id=.lean amine.*flow=.200 "
		"gpm' "
		"d.xml; grep -c 'at the fence' d.xml; grep -c 'TICA-102' d.xml");
	cr_expect_str_eq(run.output, "0\n1\n1\n1\n", "%s%s", run.output, run.errors);
}

/* Shells in series are not installed in parallel; a side is not the item; how far a cladding reaches is not how thick it is. */
Test(not_taken, series_sides_and_reach)
{
	static const struct row rows[] = {
		{"Tag,Service,Qty,Remarks\nE-1 A/B,Lean/rich exchanger,2,2 shells in series\n", "shells=\"2\"",
			"installed=\"2\""},
		{"Tag,Service,Remarks\nE-1 A/B,Lean/rich exchanger,A/B in Reihe\n", "shells=\"2\"", "installed="},
		{"Tag,Service,Qty,Remarks\nE-1 A/B,Lean/rich exchanger,2,plates\n", "installed=\"2\"", "shells="},
		{"Tag,Service,Tube side medium,Shell side medium\nE-3,Amine reboiler,Steam,Lean amine\n\n"
		 "PSV,Protects,Set barg\nPSV-3,E-3 steam side,6\n",
			"<tube-side service=\"steam\"", NULL},
		{"Tag,Service,Remarks\nC-2,Regenerator,top 2 m 316L clad\n", "top 2 m 316L clad", "cladding-thickness"},
		{"Tag,Service,Material\nP-2,Lean amine pump,CS / 12Cr int.\n", "CS / 12Cr int.", "cladding"},
		{"Tag,Service,Material\nV-2,Reflux drum,CS / 316L clad\n", "cladding=\"316L\"", NULL},
		{"Tag,Service,Remarks\nC-2,Regenerator,3 mm 316L clad\n", "cladding-thickness=\"3 mm\"", NULL},
	};
	expect_rows(rows, COUNT(rows));
	const char *said,
		*draft = drafted(&trial.arena,
			"Tag,Service,Tube side medium,Shell side medium\nE-3,Amine reboiler,Steam,Lean "
			"amine\n\nPSV,Protects,Set barg\nPSV-3,E-3 steam side,6\n",
			&said);
	const char *side = strstr(draft, "<tube-side"), *valve = strstr(draft, "<relief-valve tag=\"PSV-3\""),
		   *ends = strstr(draft, "</tube-side>");
	cr_expect(side && valve && ends && side < valve && valve < ends, "%s%s", draft, said);
}

/* What a stream or an item is, by the words that say it best: hot overhead is no acid gas product, compounds end in their kind. */
Test(not_taken, one_kind_for_another)
{
	static const struct row rows[] = {
		{"Stream,Description,Phase,Temp F\n6,Regenerator overhead,V,220\n7,Acid gas to SRU,V,110\n",
			"<gas id=\"6\" role=\"other\"", NULL},
		{"Stream,Description,Phase,Temp F\n6,Regenerator overhead,V,220\n7,Acid gas to SRU,V,110\n",
			"<gas id=\"7\" role=\"acid gas\"", NULL},
		{"Strom;Bezeichnung;Temp. °C;H2S Vol.-%;CO2 Vol.-%\n3;Sauergas;40;31;64\n",
			"<gas id=\"3\" role=\"acid gas\"", NULL},
		{"Strom;Bezeichnung;Temp. °C;H2S Vol.-%;CO2 Vol.-%\n3;Sauergas;40;2;5\n", "<gas id=\"3\"",
			"role=\"acid gas\""},
		{"Pos.;Benennung;Durchmesser mm\nT-4;Chemikalientank;900\nW-3;Endkondensator;400\n",
			"<tank tag=\"T-4\"", NULL},
		{"Pos.;Benennung;Durchmesser mm\nT-4;Chemikalientank;900\nW-3;Endkondensator;400\n",
			"<condenser tag=\"W-3\"", NULL},
		{"Pos.;Benennung;Fläche m²\nW-6;Anwärmer Tank;6\n", "<exchanger tag=\"W-6\"", "<tank"},
		/* a loading below shares is none of them */
		{"Stream No.,,1,2\nDescription,,Lean amine,Rich amine\nTemperature,degC,40,60\nComposition,mol%,,\n"
		 "H2O,,92,90\nDEA,,8,7\n\"Loading, mol AG / mol DEA\",,0.02,0.4\n",
			"0.4", "0.4 mol%"},
	};
	expect_rows(rows, COUNT(rows));
	/* the surest word of the map holds, whichever sheet is read first */
	struct run run = shell(&trial.arena,
		"cd $SCRATCH; printf 'Tag,Test pressure barg\\nV-3,9\\n' >a.csv; "
		"printf 'Tag,Service,Diameter mm\\nV-3,Reflux accumulator,900\\n' >b.csv; "
		"\"$LEANRICH\" import --quiet --propose -o m.xml a.csv b.csv 2>/dev/null; "
		"\"$LEANRICH\" import --quiet --map m.xml a.csv b.csv 2>/dev/null | grep -oE '<(vessel|reflux-drum) '");
	cr_expect_str_eq(run.output, "<reflux-drum \n", "%s%s", run.output, run.errors);
}

/* One sheet a case: what the second says first of its case holds there, with its place, and contradicts nothing. */
Test(not_taken, another_case_for_a_contradiction)
{
	struct run run = shell(&trial.arena,
		"cd $SCRATCH; printf 'Case A - Design,\\nStream,1,2\\nDescription,Lean amine,Rich amine\\nTemperature "
		"degC,40,60\\nMass flow kg/h,5000,5300\\n' >ha.csv; "
		"printf 'Case B - Turndown,\\nStream,1,2\\nDescription,Lean amine,Rich amine\\nTemperature "
		"degC,41,61\\nMass flow kg/h,2500,2600\\n' >hb.csv; "
		"\"$LEANRICH\" import --quiet --propose -o m.xml ha.csv hb.csv 2>/dev/null; "
		"\"$LEANRICH\" import --quiet --map m.xml -o d.xml ha.csv hb.csv 2>/dev/null; "
		"grep -A1 'stream id=\"2\"' d.xml; grep -c '<stated' d.xml");
	cr_expect(
		strstr(run.output,
			"<in case=\"case-b-turndown\" temperature=\"61 degC\" flow=\"2600 kg/h\" data=\"hb!C2:C5\"/>"),
		"%s%s", run.output, run.errors);
	cr_expect(strstr(run.output, "\n0\n"), "%s%s", run.output, run.errors);
}

/* A form of two labels a row keeps its right half, and the list of nozzles below it is of its vessel. */
Test(not_taken, the_right_half_of_a_form)
{
	static const char form[] =
		"TOWER DATA SHEET,,,,,,,\nItem No.,,C-5,,Service,,Fuel gas absorber,\n\n"
		"Inside diameter,,60 in.,,T/T,,\"40'-0\"\"\",\nNo. of trays,,20,,Tray spacing,,\"24\"\"\",\n"
		"Tray type,,Valve,,Tray coating,,none,\nOper. temp. top,,117,°F,Oper. temp. btm,,149,°F\n"
		"Percent of flood,,74,%,Foam factor,,0.75,\n\nNOZZLES,,,,,,,\nMark,Size,Rating,Service,Remarks,,,\n"
		"N1,\"14\"\"\",150# RF,Gas inlet,C-5 bottom,,,\nN2,\"6\"\"\",300# RF,Lean amine in,new,,,\n";
	static const struct row rows[] = {
		{form, "diameter=\"60 in\"", "diameter=\"480 in\""},
		{form, "tray-spacing=\"24 in\"", "trays=\"24"},
		{form, "top-temperature=\"117", "top-temperature=\"149"},
		{form, "bottom-temperature=\"149", NULL},
		{form, "Foam factor: 0.75", "flood: 0.75"},
		{form, "size=\"NPS 6\" flange-class=\"300\" name=\"Lean amine in\"", NULL},
	};
	expect_rows(rows, COUNT(rows));
}

/* Amounts in a column of sizes, each by its unit; what a motor is rated for is not the power taken, a surface of each no total. */
Test(not_taken, an_amount_for_another)
{
	static const char sizes[] = "Tag,Service,Size\nP-4,Lean amine pump,\"300 gpm @ 410 ft, 60 hp\"\n"
				    "E-4,Lean amine cooler,\"2,700 ft2\"\nF-4,Lean amine filter,\"40 gpm, 10 micron\"\n"
				    "C-4,Amine regenerator,20 valve trays\nV-4,Rich amine flash drum,12 min residence\n"
				    "E-5,Lean/rich exchanger,\"2 shells, 900 ft2 ea\"\n";
	static const struct row rows[] = {
		{sizes, "rated-flow=\"300 gpm\" rated-head=\"410 ft\"", "power="},
		{sizes, "Size: 300 gpm @ 410 ft, 60 hp", NULL},
		{sizes, "area=\"2700 ft2\"", "area=\"900"},
		{sizes, "rated-flow=\"40 gpm\" rating=\"10 micron\"", NULL},
		{sizes, "trays=\"20\"", NULL},
		{sizes, "residence-time=\"12 min\"", NULL},
		{"Tag,Service,Capacity / Duty\nE-6,Amine reboiler,8.6 MW\nP-6,Lean amine pump,90 kW\n",
			"duty=\"8.6 MW\"", "90 kW\""},
	};
	expect_rows(rows, COUNT(rows));
}

/* What becomes a note because no attribute is known for its column is told once, with its range; a remark is one anyway. */
Test(not_taken, a_column_of_notes_for_nothing)
{
	const char *said;
	drafted(&trial.arena, "Tag,Service,Diameter mm,Xyzzy\nV-4,Flash drum,900,a1\nV-5,Reflux drum,800,a2\n", &said);
	cr_expect(strstr(said, "s!D2 to s!D3: 2 cells kept as notes: 'Xyzzy'"), "%s", said);
	drafted(&trial.arena, "Tag,Service,Diameter mm,Remarks\nV-4,Flash drum,900,a1\n", &said);
	cr_expect(!strstr(said, "kept as notes"), "%s", said);
}

/* Trips among relief valves, each row in the unit beside its figure; an alarm is no trip. Letters by ISA 5.1, from memory. */
Test(not_taken, a_trip_for_a_valve)
{
	static const char list[] = "Tag,Service,Diameter mm\nV-7,Flash drum,900\n\n"
				   "Tag,Protects,Set / Trip,Unit,Comment\nPSV-7,V-7,90,psig,\nLALL-12,V-7,15,%,2oo3\n"
				   "LAL-13,V-7,30,%,\nFALL-14,P-8A/B,40,gpm,\n";
	static const struct row rows[] = {
		{list, "<relief-valve tag=\"PSV-7\" set-pressure=\"90 psig\"", "set-pressure=\"15"},
		{list, "<trip tag=\"LALL-12\" on=\"low level\" setting=\"15 %\" voting=\"2 out of 3\"",
			"<trip tag=\"LAL-13"},
		{list, "Tag: LAL-13", NULL},
		{list, "Tag: FALL-14", "<pump"},
	};
	expect_rows(rows, COUNT(rows));
}
