/* Sheets that give figures of the unit and its items by operating case. All sheets are invented. */
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

TestSuite(case_summary, .init = drafted_begin, .fini = end);

#define UNIT                                                                                                           \
	"Tag,Description\nT-7,Absorber\nT-8,Regenerator\nE-8,Reboiler\n\nStream,Description,From,To,Temp. "            \
	"\u00b0C,H2S "                                                                                                 \
	"mol%,CO2 mol%\n1,Feed gas,B.L.,T-7,40,2,3\n2,Lean amine,T-8,P-1,120,,\n3,Lean amine,P-1,T-7,42,,\n\n"
#define HEAD UNIT "Case summary,,,\nParameter,Unit,Case A - Summer,Case B - Winter\n"

Test(case_summary, a_parameter_is_of_what_its_words_and_its_unit_say)
{
	static const struct {
		const char *sheet, *holds, *not ;
	} rows[] = {
		/* by the unit where the words do not say which quantity; of several streams that of the absorber */
		{HEAD "Feed gas,kSm3/h,82.8,41.4\nLean circulation,m3/h,92,52\nReboiler duty,MW,6.9,4.1\n",
			"flow=\"82.8 kSm3/h\"", "case=\"case-summary\""},
		{HEAD "Feed gas,kSm3/h,82.8,41.4\nLean circulation,m3/h,92,52\nReboiler duty,MW,6.9,4.1\n",
			"<in case=\"case-b-winter\" duty=\"4.1 MW\"", NULL},
		{HEAD "Lean amine temperature,\u00b0C,42,38\nE-8 duty,MW,6.9,4.1\nReboiler steam,t/h,11.6,6.8\n",
			"Parameter: Lean amine temperature", NULL},
		{HEAD "Lean amine temperature to absorber,\u00b0C,42,38\nE-8 duty,MW,6.9,4.1\nReboiler "
		      "steam,t/h,11.6,6.8\n",
			"<in case=\"case-b-winter\" temperature=\"38 degC\"", "Parameter: Lean"},
		/* steam is of the reboiler, by its kind or its tag; its unit says whether flow or pressure */
		{HEAD "Reboiler steam,t/h,11.6,6.8\nE-8 duty,MW,6.9,4.1\nLP steam to E-8,barg,3,3.2\n",
			"steam-flow=\"11.6 t/h\"", NULL},
		{HEAD "Reboiler steam,t/h,11.6,6.8\nE-8 duty,MW,6.9,4.1\nLP steam to E-8,barg,3,3.2\n",
			"steam-pressure=\"3.2 barg\"", NULL},
		{HEAD "Feed gas (stream 1),kSm3/h,82.8,41.4\nE-8 duty,MW,6.9,4.1\nE-9 duty,MW,1,2\n",
			"Parameter: E-9 duty", "<cooler"},
		{HEAD "E-8 duty,MW,6.9,4.1\nReboiler steam,t/h,11,7\nE-8 flux,kW/m2,20,12\nTrains running,-,1,1\n",
			"Parameter: Trains running", "flux="},
		/* a word for a duty in a unit of flow is none */
		{HEAD "Reboiler duty,t/h,6.9,4.1\nReboiler steam,t/h,11,7\nE-8 duty,MW,6.9,4.1\n", "duty=\"6.9 MW\"",
			"6.9 t/h\""},
		/* a column of units beside those of three cases of lines, of which one is only "Normal" */
		{"Line No.,Size,Flow,,,Flow unit,Oper. T\n,inch,Normal,Max,Winter,,degC\nL-1,6,90,95,70,t/h,45\n"
		 "L-2,4,30,31,25,m3/h,46\n",
			"flow=\"30 m3/h\"", "Normal: 30"},
		/* a case by its letter and the word for one in the heading, though no other sheet names it */
		{"Line No.,Size,Flow case A (t/h),Flow case B (t/h),Vel. case A (m/s),Vel. case B "
		 "(m/s)\nL-1,6,90,70,2.1,1.6\n"
		 "L-2,4,30,25,1.1,0.9\n",
			"<in case=\"case-b\" flow=\"70 t/h\" velocity=\"1.6 m/s\"", NULL},
		/* a column that nothing is known of stands before those of cases */
		{"Tag,Description,Zzz,Heat duty,,Unit\n,,,Case A,Case "
		 "B,\nE-8,Reboiler,q,7,4,MW\nE-9,Condenser,r,3,2,MW\n",
			"duty=\"7 MW\"", NULL},
		/* the air by case; alone it may be that of any day */
		{HEAD "Ambient temperature,\u00b0C,38,-5\nReboiler duty,MW,6.9,4.1\nE-8 duty,MW,6.9,4.1\nLean "
		      "circulation,m3/h,92,52\n",
			"<in case=\"case-b-winter\" air-temperature=\"-5 degC\"", NULL},
		{UNIT "Design basis,,\nParameter,Unit,Value\nAmbient temperature,\u00b0C,38\nReboiler "
		      "duty,MW,6.9\nLean "
		      "circulation,m3/h,92\nAmine strength,wt%,40\n",
			"Ambient temperature", "air-temperature="},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *said, *draft = drafted(&trial.arena, rows[i].sheet, &said);
		cr_expect(strstr(draft, rows[i].holds), "%zu: %s\n%s%s", i, rows[i].holds, draft, said);
		cr_expect(!rows[i].not || !strstr(draft, rows[i].not ), "%zu: %s\n%s", i, rows[i].not, draft);
	}
}
