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
