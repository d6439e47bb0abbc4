/* Where lines, streams and gases come from and go to, as sheets write it. All sheets are invented. */
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

TestSuite(line_ends, .init = drafted_begin, .fini = end);

#define EQUIPMENT                                                                                                      \
	"Tag,Description\nT-7,Amine absorber\nT-8,Regenerator\nV-7,Flash drum\nV-8,Feed gas knock-out "                \
	"drum\nE-7,Lean/rich "                                                                                         \
	"exchanger\nE-8,Reboiler\nP-7 A/B,Lean amine pumps\n\nLine No.,From,To,Size\n"

Test(line_ends, an_end_is_what_its_words_name)
{
	static const struct {
		const char *sheet, *holds, *not ;
	} rows[] = {
		/* an end of an item, its nozzle, its side, a tray, a pair; of two tags neither */
		{EQUIPMENT "L-1,T-7 btm,V-7 N1,8\n", "from=\"T-7\" to=\"V-7\"", NULL},
		{EQUIPMENT "L-1,E-7 cold side outlet,T-8 (tray 4),8\n", "from=\"E-7\" to=\"T-8\"", NULL},
		{EQUIPMENT "L-1,P-7 A/B discharge,Absorber T-7,8\n", "from=\"P-7 A/B\" to=\"T-7\"", NULL},
		{EQUIPMENT "L-1,T-8 Sumpf,P-7 A/B Saugstutzen,8\n", "from=\"T-8\" to=\"P-7 A/B\"", NULL},
		{EQUIPMENT "L-1,V-7 vapour outlet,T-8 and E-8,2\n", "from=\"V-7\" size", "to=\"T-8\""},
		{EQUIPMENT "L-1,bypass of E-7,upstream of T-8,2\n", "bypass of E-7", "from=\"E-7\""},
		/* by its name, where only one is called so or is of that kind */
		{EQUIPMENT "L-1,Amine absorber,Flash drum,8\n", "from=\"T-7\" to=\"V-7\"", NULL},
		{EQUIPMENT "L-1,Absorber bottoms,Lean pumps,8\n", "from=\"T-7\" to=\"P-7 A/B\"", NULL},
		{EQUIPMENT "L-1,Absorber 2,Lean pumps of unit 9,8\n", "Absorber 2", "from=\"T-7\""},
		{"Tag,Description\nT-7,HP absorber\nT-9,LP absorber\n\nLine No.,From,To,Size\nL-1,LP "
		 "absorber,Absorber,8\n",
			"from=\"T-9\"", "to=\"T-"},
		/* another line, wherever it is met; not upstream of something on it */
		{EQUIPMENT "8-P-71,T-7,V-7,8\n2-P-72,V-8,rich line 8-P-71,2\n", "to=\"8-P-71\"", NULL},
		{EQUIPMENT "8-P-71,T-7,V-7,8\n2-P-72,V-8,spare for 8-P-71,2\n", "spare for", "to=\"8-P-71\""},
		/* a valve that no sheet lists stands in the line that goes to it, unless others are called by its letters */
		{EQUIPMENT "L-1,T-7,7-LV-12,8\nL-2,7-LV-12,V-7,10\n",
			"<valve tag=\"7-LV-12\"/>\n  </line>\n  <line tag=\"L-2\" from=\"7-LV-12\" to=\"V-7\"", NULL},
		{EQUIPMENT "L-2,FCV 12A,V-7,10\n", "from=\"FCV 12A\" to=\"V-7\"", NULL},
		{EQUIPMENT "L-1,T-7,LIC-12,8\n", "to: LIC-12", "<valve"},
		{"Tag,Description\nPV-7,Flash drum\nT-7,Absorber\nE-7,Reboiler\n\nLine "
		 "No.,From,To\nL-1,PV-7,PV-8\nL-2,T-7,PV-7\n",
			"to: PV-8", "<valve"},
		/* beyond the unit; what the unit has is not, nor what nobody can know */
		{EQUIPMENT "L-1,LP steam hdr,E-8,8\n", "<battery-limit tag=\"LP steam hdr\"/>", NULL},
		{EQUIPMENT "L-1,T-7,HDS,8\n", "<battery-limit tag=\"HDS\"/>", NULL},
		{EQUIPMENT "L-1,T-7,Dehydration unit 56,8\n", "<battery-limit tag=\"Dehydration unit 56\"/>", NULL},
		{EQUIPMENT "L-1,T-7,Kondensatsystem,8\n", "<battery-limit tag=\"Kondensatsystem\"/>", NULL},
		{EQUIPMENT "L-1,T-7 header,Sampling cabinet,8\n", "from: T-7 header", "battery-limit"},
		{"Tag,Description\n56-V-1,Flash drum\n56-T-7,Absorber\n56-E-7,Reboiler\n\nLine "
		 "No.,From,To\nL-1,56-V-1,Unit 56\n",
			"to: Unit 56", "battery-limit"},
		/* a line of gas by its ends, where its fluid says no more than that */
		{"Tag,Description\nT-7,Absorber\nV-8,KO drum\n\nLine No.,Fluid,From,To\nL-1,Recycle gas,V-8,T-7 "
		 "N1\nL-2,Recycle "
		 "gas,T-7,B.L.\n",
			"tag=\"L-1\" name=\"Recycle gas\" from=\"V-8\" to=\"T-7\" service=\"sour gas\"", NULL},
		{"Tag,Description\nT-7,Absorber\nV-8,KO drum\n\nLine No.,Fluid,From,To\nL-1,Wash oil,V-8,T-7 "
		 "N1\nL-2,Recycle "
		 "gas,V-8,B.L.\n",
			"name=\"Wash oil\"", "service="},
		/* gases are named by the equipment at their ends */
		{"Tag,Description\nT-7,Absorber\nV-8,Feed gas knock-out "
		 "drum\n\nStream,Description,From,To,H2S mol%\n1,Sour gas,V-8,T-7 N1,2\n2,Sweet gas,T-7 top,B.L.,0\n",
			"<absorber tag=\"T-7\" name=\"Absorber\" gas=\"1\" treated=\"2\"", NULL},
		{"Tag,Description\nT-7,Absorber\nV-8,Feed gas knock-out "
		 "drum\n\nStream,Description,From,To,H2S mol%\n1,Sour gas,V-8,T-7 N1,2\n2,Sweet gas,T-7 top,B.L.,0\n",
			"<knock-out-drum tag=\"V-8\" name=\"Feed gas knock-out drum\" gas=\"1\"", NULL},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *said, *draft = drafted(&trial.arena, rows[i].sheet, &said);
		cr_expect(strstr(draft, rows[i].holds), "%zu: %s\n%s%s", i, rows[i].holds, draft, said);
		cr_expect(!rows[i].not || !strstr(draft, rows[i].not ), "%zu: %s\n%s", i, rows[i].not, draft);
	}
}

/* Codes in the numbers of lines by a legend in rows; no value is the number of a note; words after a tag are no letters of it. */
Test(line_ends, codes_and_notes_are_what_they_stand_for)
{
#define LEGEND "SERVICE LEGEND:,,,\nSG,SOUR GAS,,\nRA,RICH AMINE,,\nXY,SPECIAL,,\n,,,\n"
	static const struct {
		const char *sheet, *holds, *not ;
	} rows[] = {
		{LEGEND "LINE NO,SIZE IN,FROM,TO\nRA-71,8,T-1,V-2\n6-XY-72,6,V-2,E-1\nZZ-73,2,V-2,E-1\n",
			"<line tag=\"RA-71\" size=\"NPS 8\" service=\"rich\"",
			"tag=\"6-XY-72\" size=\"NPS 6\" service"},
		{"LINE NO,SIZE IN,FROM,TO\nRA-71,8,T-1,V-2\n6-XY-72,6,V-2,E-1\n", "tag=\"RA-71\"", "service="},
		{LEGEND "LINE NO,SIZE IN,FROM,TO\nRA-71-SG,8,T-1,V-2\n6-XY-72,6,V-2,E-1\n", "tag=\"RA-71-SG\"",
			"service="},
		{"LINE NO,SIZE IN,VEL FT/S,TO\nL-71,8,NOTE 2,V-2\nL-72,6,4.5 NOTE 2,E-1\n", "velocity=\"4.5 ft/s\"",
			"velocity=\"2 ft/s\""},
		{"Tag,Description\nP-7A/B,Lean pumps\n\nLine No.,From,To\nL-1,E-7,P-7A/B VIA E-8\n",
			"to: P-7A/B VIA E-8", "to=\"P-7"},
		{"Tag,Description\nP-7A/B,Lean pumps\n\nLine No.,From,To\nL-1,P-7 A/B/C,P-7A/P-7B\n", "from=\"P-7A/B\"",
			NULL},
		{"Vessel nozzles,,,\nVessel,Nozzle,Service,Size\nT-7,N1,OVHD VAPOR,10\nT-7,N2,LP STEAM,4\n,,,\n"
		 "Tag,Description,,\nT-7,Regenerator,,\n",
			"service=\"steam\"", "name=\"OVHD VAPOR\" service"},
		/* a legend in the cells of a row; a row that is withdrawn by words for it, and one of which a part is */
		{"Fluids: SG = sour gas,RA = rich amine,,\nLine No.,Fluid,From,To\nL-1,RA,T-1,V-2\nL-2,SG,V-2,E-1\n",
			"service=\"rich\"", NULL},
		{"Line No.,From,To,Remarks\nL-1,T-1,V-2,Line deleted rev B\nL-2,V-2,E-1,Tracing deleted\n",
			"tag=\"L-2\"", "tag=\"L-1\""},
		{"Stream,1,2\nDescription,Rich amine,Lean amine\n\"Total loading, mol/mol\",0.44,0.01\n\"Incl. H2S, "
		 "mol/mol\",0.12,0.002\n",
			"h2s=\"0.12 mol/mol\"", NULL},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *said, *draft = drafted(&trial.arena, rows[i].sheet, &said);
		cr_expect(strstr(draft, rows[i].holds), "%zu: %s\n%s%s", i, rows[i].holds, draft, said);
		cr_expect(!rows[i].not || !strstr(draft, rows[i].not ), "%zu: %s\n%s", i, rows[i].not, draft);
	}
}

/* What flows through it is in its name: in a compound, in the words for both solutions; not in the name of another item. */
Test(line_ends, a_name_says_what_flows_there)
{
	static const struct {
		const char *sheet, *holds, *not ;
	} rows[] = {
		{"Tag,Description\nP-1 A/B,Armaminpumpe\nP-2,Reichaminpumpe\n", "tag=\"P-1 A/B\" service=\"lean\"",
			NULL},
		{"Tag,Description\nP-5,Kondensatpumpe\nP-2,Reichaminpumpe\n", "<pump tag=\"P-5\" name=", NULL},
		{"Tag,Description\nW-1,Arm-/Reichamin-W\u00e4rmetauscher\nW-3,Armamink\u00fchler\n",
			"<exchanger tag=\"W-1\" service=\"lean/rich\"", NULL},
		{"Tag,Description\nW-1,K\u00fchlwasser-W\u00e4rmetauscher\nW-3,Armamink\u00fchler\n",
			"<cooler tag=\"W-3\" service=\"lean\"", "lean/rich"},
		{"Tag,Description\nP-6,Rich flash drum skim pump\nP-7,Lean amine charge pump\n",
			"<pump tag=\"P-6\" name=\"Rich flash drum skim pump\"", "flash-drum"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *said, *draft = drafted(&trial.arena, rows[i].sheet, &said);
		cr_expect(strstr(draft, rows[i].holds), "%zu: %s\n%s%s", i, rows[i].holds, draft, said);
		cr_expect(!rows[i].not || !strstr(draft, rows[i].not ), "%zu: %s\n%s", i, rows[i].not, draft);
	}
}
