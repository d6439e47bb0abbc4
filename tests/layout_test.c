/* How lists stand on their sheets: several on one, as data sheets, with headings in several rows. All sheets are invented. */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "command/commands.h"
#include "drafted.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

TestSuite(layout, .init = drafted_begin, .fini = end);

/* Each row has two texts that the draft must hold, and one that it must not. */
Test(layout, lists_are_found_however_they_stand)
{
	static const struct {
		const char *sheet, *holds, *also, *not ;
	} rows[] = {
		/* beside each other, with rows of words that say what the items are */
		{"Tag,Description,Design (barg),,Stream,Description,T (degC)\nColumns,,,,1,Sour gas,35\n"
		 "T-101,Amine contactor,70,,2,Lean amine,45\nPumps,,,,3,Rich amine,58\nX-101,Main,75,,4,Acid gas,49\n",
			"<pump tag=\"X-101\"", "<stream id=\"3\" service=\"rich\" temperature=\"58 degC\"", "Columns"},
		/* one beneath the other, with another kind of items, and parts beside the tags */
		{"Relief valves,,,\nTag,Protects,Set barg,Orifice\nPSV-1,V-1,10,4L6\n,,,\nMATERIALS,,,\n"
		 "Part,Material,PWHT,Remarks\nC-1 shell,SA-516-70,yes,\nV-1 shell,SA-516-70,no,\nP-1 "
		 "impeller,CA6NM,,\n",
			"<vessel tag=\"V-1\" material=\"carbon steel\" grade=\"SA-516-70\" pwht=\"no\"", "set-pressure",
			"protects SA-516"},
		/* the same list goes on after a break of pages, and is one */
		{"Line no.,DN,Design barg\nL-1,100,75\nPage 2,,\nLine no.,DN,Design barg\nL-2,150,70\n",
			"<line tag=\"L-2\" size=\"NPS 6\" design-pressure=\"70 barg\"", "<line tag=\"L-1\"", "block"},
		/* a sheet of labels and values for each item */
		{"Tag,E-201,Service,Lean/rich exchanger\nDuty (kW),8200,Area (m2),640\n,,,\nTag,E-202,Service,Lean "
		 "amine "
		 "cooler\nDuty (kW),5100,Area (m2),210\n",
			"<cooler tag=\"E-202\" service=\"lean\" name=\"Lean amine cooler\" duty=\"5100 kW\" area=\"210 "
			"m2\"",
			"<exchanger tag=\"E-201\" service=\"lean/rich\" name=\"Lean/rich exchanger\" duty=\"8200 kW\"",
			"stated"},
		/* pairs above the names of two sides and pairs in other columns below them; what goes on with "Tubes:" */
		{"EXCHANGER DATA SHEET,,,,,\nItem no.,E-12,,Service,Lean/rich exchanger,\nHeat duty,900,kW,Heat "
		 "transfer "
		 "area,77,m2\n,,,,,\n,Unit,Shell side,Tube side,,\nFluid,,Lean amine,Rich amine,,\nTemperature "
		 "in,degC,110,60,,\nDesign pressure,barg,10,12,,\nFouling,-,a,b,,\n,,,,,\nTubes: "
		 "OD,25.4,mm,wall,2.11,mm\nNumber,300,,length,4000,mm\n",
			"<tube-side service=\"rich\" inlet-temperature=\"60 degC\" design-pressure=\"12 barg\" "
			"tube-od=\"25.4 mm\" tube-wall=\"2.11 mm\" tubes=\"300\" tube-length=\"4000 mm\"",
			"duty=\"900 kW\" area=\"77 m2\"", ">Fouling: b"},
		{"DATENBLATT,,,,\nApparat,E-13,,Benennung,Arm-/Reichaminw\u00e4rmetauscher\n,,Mantelseite,Rohrseite,\n"
		 "Medium,,Armamin,Reichamin,\nBetriebsdruck,bar(\u00fc),3,6,\nRohre,,,,\nAnzahl,240,,L\u00e4nge,5000 "
		 "mm\nDa,20,mm,Wandst\u00e4rke,2 mm\n",
			"tubes=\"240\"", "tube-wall=\"2 mm\"", "tag=\"240\""},
		/* several pairs in one cell, and notes at the foot that are of the one item */
		{"VESSEL DATA SHEET,,,\nItem: V-14   Service: Rich flash drum,,Rev. 1,\nDesign pressure,8 barg,Design "
		 "temperature,120 degC\nInside diameter,1600 mm,Corrosion allowance,3 mm\nNOTES,,,\n1. Hydrocarbon "
		 "skimming nozzle.,,,\n2. PWHT 2011.,,,\n",
			"<flash-drum tag=\"V-14\" name=\"Rich flash drum\"", "pwht=\"yes\"", "tag=\"Service"},
		/* an answer beside its question heads nothing below it */
		{"COLUMN DATA SHEET,,,\nTag,C-15,Service,Amine absorber\nInside diameter,1600 mm,Height,18 "
		 "m\nPWHT,Yes,Insulation,No\nCorrosion allowance,3 mm,Design pressure,70 barg\nNumber of "
		 "trays,20,Design "
		 "temperature,110 degC\n",
			"pwht=\"yes\" insulated=\"no\" corrosion-allowance=\"3 mm\"", "trays=\"20\"", "PWHT: "},
		/* running numbers before the tags */
		{"No,Tag,Service,Design barg\n1,V-301,Rich flash drum,8\n2,V-302,Reflux drum,5\n",
			"<flash-drum tag=\"V-301\"", "<reflux-drum tag=\"V-302\"", "nozzle"},
		/* cases over columns that are called by letters, units in a row of their own, nothing merged */
		{"Stream no.,Name,Normal,,Turndown,\n,,T,P,T,P\n,,degC,barg,degC,barg\n1,Sour gas,35,60,30,58\n",
			"temperature=\"35 degC\" pressure=\"60 barg\"",
			"<in case=\"turndown\" temperature=\"30 degC\" pressure=\"58 barg\"", "note>Normal"},
		/* a second row of headings under groups whose words are not known */
		{"Item,Service,Zone one,,Duty kW\n,,Fluid,In degC,\nE-1,Reboiler,Steam,150,4000\n",
			"Zone one / In degC: 150", "duty=\"4000 kW\"", "Zone one: Steam"},
		/* days of samples over the columns, and what has no place in an analysis with its unit */
		{"Parameter,Unit,12 Mar 2025,14 Jun 2025\nMDEA,wt%,44.8,45.0\nFoam height,ml,60,80\n",
			"<dated-analysis date=\"2025-03-12\" strength=\"44.8 wt%\"", "Foam height: 80", "<stream"},
		/* items by their names, some of them in parts */
		{"Component,Material,PWHT,Remark\nAbsorber shell,CS,yes,\nAbsorber trays,321,,20 trays\nLean amine "
		 "cooler,316L,no,\n",
			"<absorber tag=\"Absorber\" material=\"carbon steel\" pwht=\"yes\"", "<part name=\"trays\"",
			"tag=\"Absorber trays\""},
		/* sheets of labels under titles beside each other */
		{"C-1201 Absorber,,,E-1203 Reboiler,\nInside diameter,1100 mm,,Area,95 m2\nPWHT,yes,,PWHT,no\n",
			"<absorber tag=\"C-1201\" name=\"Absorber\" diameter=\"1100 mm\" pwht=\"yes\"",
			"<reboiler tag=\"E-1203\" name=\"Reboiler\" area=\"95 m2\" pwht=\"no\"", "<in"},
		/* one parameter of one item a row */
		{"Tag,Parameter,Value,Unit\nE-301,Service,Lean amine cooler,\nE-301,Duty,8.2,MW\nE-301,Design "
		 "pressure,16,barg\nV-302,Service,Reflux drum,\nV-302,Design pressure,5,barg\n",
			"<cooler tag=\"E-301\" service=\"lean\" name=\"Lean amine cooler\" duty=\"8.2 MW\" "
			"design-pressure=\"16 barg\"",
			"<reflux-drum tag=\"V-302\" name=\"Reflux drum\" design-pressure=\"5 barg\"", "note>"},
		/* cases beside the headings, streams beside their corner; a sum is no stream */
		{"Quantity,Case,101 Sour gas,103 Lean amine\nFlow kg/h,Normal,9637,24500\n,Turndown,4820,15000\nTemp. "
		 "degC,Normal,38,45\n,Turndown,35,42\n",
			"<stream id=\"103\" service=\"lean\" flow=\"24500 kg/h\" temperature=\"45 degC\"",
			"<in case=\"turndown\" flow=\"4820 kg/h\" temperature=\"35 degC\"", "Quantity"},
		/* cases that the heading names, and one cell that has not as many */
		{"Tag,Service,Op. temp. degC (norm / max)\nV-1,Flash drum,60 / 68\nV-2,Reflux drum,45 / 50 / 55\n",
			"name=\"Flash drum\" temperature=\"60 degC\"", "<in case=\"max\" temperature=\"68 degC\"",
			"\"55 degC\""},
		/* a total without a tag is of no item; groups with the unit of all below them */
		{"Strm,Description,Acid gas mol%,,Flow,\n,,H2S,CO2,kg/h,gpm\n1,Sour gas,2,3,5000,\n2,Lean "
		 "amine,,,9000,40\n"
		 ",IN - OUT,,,10,\n",
			"h2s=\"2 mol%\"", "flow=\"9000 kg/h\"", "\"10 kg/h\""},
		/* valves as columns: their tags are no second heading */
		{"Relief valves,,\nTag,PSV-1,PSV-2\nProtected,V-1,V-2\nSet psig,90,125\nCase,Blocked outlet,Thermal\n"
		 ",,\nTag,Service,\nV-1,Flash drum,\nV-2,Reflux drum,\n",
			"<relief-valve tag=\"PSV-2\" set-pressure=\"125 psig\"", "<flash-drum tag=\"V-1\"",
			"Protected /"},
		/* columns that nothing names but the streams */
		{"Stream,Description,T degC\n1,Sour gas to C-11,30\n2,Rich amine from C-11,60\n3,Rich amine to "
		 "C-12,98\n,,\nItem,Design barg,PWHT\nC-11 SHELL,60,yes\nC-12 SHELL,4,no\n",
			"<absorber tag=\"C-11\"", "<regenerator tag=\"C-12\"", "<vessel"},
		/* samples of two solutions on one day are two */
		{"Date,Sample,Fe ppmw,pH\n2025-01-14,lean,4,10.2\n2025-01-14,rich,6,\n",
			"<dated-analysis date=\"2025-01-14\" iron=\"4 ppmw\"", "Sample: rich; Fe ppmw: 6",
			"\"6 ppmw\""},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *said, *draft = drafted(&trial.arena, rows[i].sheet, &said);
		cr_expect(strstr(draft, rows[i].holds) && strstr(draft, rows[i].also) && !strstr(draft, rows[i].not ),
			"%zu: %s%s", i, draft, said);
	}
}

/* What is no list, of no item or of none that is known is kept as it stands, and said. */
Test(layout, what_cannot_be_read_is_kept_and_said)
{
	static const struct {
		const char *sheet, *holds, *said;
	} rows[] = {
		{"Weather,of the site\nhot,41\n", "<note document=\"s.csv!A2\">hot | 41</note>",
			"A2 to s!B2: 2 cells kept"},
		{"Tag,Description,Design barg\nV-1,Flash drum,8\nZZ-1,Widget,9\n",
			">Tag: ZZ-1; Description: Widget; Design barg: 9</note>",
			"what kind of item it is nobody says"},
		{"Tag,Description,C.A. (mm)\nV-1,Flash drum,see note\n", ">C.A. (mm): see note</note>",
			"kept as a note"},
		{"PSV,Protects,Set barg\nPSV-4,ZZ-77,75\n", ">PSV: PSV-4; Protects: ZZ-77; Set barg: 75</note>",
			"kept as a note"},
		{"Line No.,Size,From,To\nL-1,NPS 6,V-9,V-8\n", ">from: V-9</note>",
			"kept as a note: no sheet describes it"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *said, *draft = drafted(&trial.arena, rows[i].sheet, &said);
		cr_expect(strstr(draft, rows[i].holds) && strstr(said, rows[i].said), "%zu: %s%s", i, draft, said);
	}
}
