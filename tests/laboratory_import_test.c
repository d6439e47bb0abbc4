/* What the sheets of a laboratory say, and what they do not. All sheets are invented. */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "drafted.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

TestSuite(laboratory_import, .init = drafted_begin, .fini = end);

#define HEADINGS "Date,Sample point,Parameter,Result,Unit,Method,Limit\n"

Test(laboratory_import, results_are_of_their_sample_and_parameter)
{
	static const struct {
		const char *sheet, *holds, *not ;
	} rows[] = {
		/* free amine is less than all there is, before and after that, and alone */
		{HEADINGS "2025-01-14,Lean amine,Free amine,36.0,wt%,titr.,\n2025-01-14,Lean amine,Total "
			  "amine,38.5,wt%,titr.,\n2025-01-14,Lean amine,Iron,6,mg/kg,ICP,\n",
			"strength=\"38.5 wt%\" iron=\"6 ppmw\"", "strength=\"36.0"},
		{HEADINGS "2025-01-14,Lean amine,Total amine,38.5,wt%,titr.,\n2025-01-14,Lean amine,Free "
			  "amine,36.0,wt%,titr.,\n",
			"Free amine: 36.0 wt%", "strength=\"36.0"},
		{HEADINGS "2025-01-14,Lean amine,Free amine,36.0,wt%,titr.,\n2025-01-14,Lean amine,Iron,6,mg/kg,ICP,\n",
			"Free amine: 36.0 wt%", "strength="},
		{"Date,Sample,Free amine wt%,Total amine wt%,Iron mg/kg\n2025-01-14,lean,36.0,38.5,6\n",
			"strength=\"38.5 wt%\"", "strength=\"36.0"},
		/* another amine than that of the solution */
		{"MDEA unit\n\n" HEADINGS "2025-01-14,Lean amine,DEA,0.4,wt%,GC,\n2025-01-14,Lean "
		 "amine,MDEA,44.1,wt%,titr.,\n2025-01-14,Lean amine,HSS,1.4,wt% as MDEA,IC,\n",
			"strength=\"44.1 wt%\"", "strength=\"0.4"},
		/* limits of the lean solution stand beside its results; those of others are notes, and a figure says no side */
		{HEADINGS "2025-01-14,Lean amine,Iron,6,mg/kg,ICP,10\n2025-01-14,Lean amine,Total "
			  "amine,38.5,wt%,titr.,35 "
			  "- 42\n",
			"quantity=\"iron\" at-most=\"10 ppmw\"", "at-most=\"6 "},
		{HEADINGS "2025-01-14,Lean amine,Iron,6,mg/kg,ICP,10\n2025-01-14,Lean amine,Total "
			  "amine,38.5,wt%,titr.,35 "
			  "- 42\n",
			"quantity=\"strength\" at-least=\"35 wt%\" at-most=\"42 wt%\"", NULL},
		{HEADINGS "2025-01-14,Rich amine,Iron,6,mg/kg,ICP,10\n2025-01-14,Lean amine,Iron,3,mg/kg,ICP,\n",
			"Rich", "<operating-limit"},
		{"Date,Sample point,Parameter,Result,Unit,Target\n2025-01-14,Lean "
		 "amine,Iron,6,mg/kg,10\n2025-01-14,Lean "
		 "amine,Total amine,38.5,wt%,\n",
			"Iron, Target: 10", "<operating-limit"},
		{HEADINGS "2025-01-14,Lean amine,pH,10.2,,,9.0\n2025-01-14,Lean amine,Iron,3,mg/kg,ICP,\n",
			"pH, Limit: 9.0", "<operating-limit"},
		/* a report with a column a sample: what stands beside goes by its heading */
		{"Report,24-1,,,\nSampled,2024-03-21,,,\n,,,,\nTest,Method,Unit,Lean amine,Target "
		 "(lean)\nMDEA,titr.,wt%,44.1,43 - "
		 "47\nIron,ICP,ppmw,8,< 10\nChloride,IC,ppmw,420,< 500\n",
			"Chloride: Target (lean): &lt; 500", "chloride=\"500"},
		/* what was not found has no value, and its salt no element without one */
		{HEADINGS "2025-01-14,Lean amine,Thiocyanate,n.d.,mg/kg,IC,\n2025-01-14,Lean "
			  "amine,Oxalate,-,mg/kg,IC,\n2025-01-14,Lean amine,Iron,3,mg/kg,ICP,\n",
			"Thiocyanate, mg/kg: n.d.", "<anion"},
		{"Date,Sample,HSS wt% as MDEA,Iron mg/kg\n2025-01-14,lean,n.d.,3\n2025-02-14,lean,1.2,3\n",
			"date=\"2025-02-14\" salts=\"1.2 wt%\" salts-as=\"MDEA\"", "date=\"2025-01-14\" salts"},
		/* a water is no solution, described or not */
		{"Datum;Probenahmestelle;Bestimmung;Messwert;Einheit\n14.01.2025;Prozesswasser;Ammoniak;800;mg/l\n"
		 "14.01.2025;Prozesswasser;pH-Wert;8,7;\n14.01.2025;Armamin;Eisen;3;mg/kg\n",
			"iron=\"3 ppmw\"", "ammonia=\""},
		{"Str\u00f6me\nStrom;Bezeichnung;p bar(\u00fc)\n20;R\u00fccklauf;1\n\n"
		 "Datum;Probenahmestelle;Bestimmung;Messwert;Einheit\n14.01.2025;R\u00fccklaufwasser;Ammoniak;800;mg/"
		 "l\n"
		 "14.01.2025;R\u00fccklaufwasser;pH-Wert;8,7;\n14.01.2025;Armamin;Eisen;3;mg/kg\n",
			"stream=\"20\" ammonia=\"800 mg/L\" ph=\"8.7\"", NULL},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *said, *draft = drafted(&trial.arena, rows[i].sheet, &said);
		cr_expect(strstr(draft, rows[i].holds), "%zu: %s\n%s%s", i, rows[i].holds, draft, said);
		cr_expect(!rows[i].not || !strstr(draft, rows[i].not ), "%zu: %s\n%s", i, rows[i].not, draft);
	}
}

/* Instruments are no streams, no gases and no items, whatever their service names; items with an alarm beside them stay. */
Test(laboratory_import, alarms_and_trips_are_of_no_item)
{
	static const struct {
		const char *sheet, *holds, *not ;
	} rows[] = {
		{"Tag,Service,Low trip,Low alarm,High alarm,High trip,Unit,Action\n"
		 "LT-501,T-501 level,10,20,75,90,%,LL closes LV-501\nFT-502,Lean amine,60,70,,,m3/h,LL stops P-501\n"
		 "TT-504,Reboiler outlet,,,128,132,degC,\nAT-505,Treated gas H2S,,,4,10,ppmv,\n",
			"Tag: TT-504 | Service: Reboiler outlet | High alarm: 128 | High trip: 132 | Unit: degC",
			"<reboiler"},
		{"Tag,Service,Low trip,Low alarm,High alarm,High trip,Unit,Action\n"
		 "LT-501,T-501 level,10,20,75,90,%,LL closes LV-501\nFT-502,Lean amine,60,70,,,m3/h,LL stops P-501\n"
		 "AT-505,Treated gas H2S,,,4,10,ppmv,\n",
			"AT-505", "<gas"},
		{"Messstelle;Bezeichnung;LL;L;H;HH;Einheit;Wirkung;Auswahl\n"
		 "LIRCA 7101;Stand K-701;10 %;20 %;80 %;90 %;;LL schlie\u00dft LV-7101;2v3\n"
		 "FIRA 7102;Armamin;60;70;;;m3/h;LL stoppt P-701A/B;1v1\n"
		 "PIRA 7103;Druck B-701;;;8;9,5;bar(\u00fc);HH schlie\u00dft PV-7103;1v2\n"
		 "TIRA 7104;Aufkocher Austritt;;;128;132;\u00b0C;HH schlie\u00dft FV-7104;1v1\n",
			"LIRCA 7101", "<stream"},
		{"Tag,Description,Design pressure barg,Low alarm,High alarm\nV-1,Flash drum,10,20 %,80 %\nT-2,Amine "
		 "absorber,75,20 %,80 %\n",
			"<absorber tag=\"T-2\"", NULL},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *said, *draft = drafted(&trial.arena, rows[i].sheet, &said);
		cr_expect(strstr(draft, rows[i].holds) || strstr(said, rows[i].holds), "%zu: %s\n%s%s", i,
			rows[i].holds, draft, said);
		cr_expect(!rows[i].not || !strstr(draft, rows[i].not ), "%zu: %s\n%s", i, rows[i].not, draft);
	}
}
