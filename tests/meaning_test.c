/* What the headings and the cells of sheets mean, in the words of several trades and languages. All sheets are invented. */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "drafted.h"
#include "import/fields.h"
#include "import/line_number.h"
#include "import/list_cell.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

#define GASES "Stream,Description,Temp. (degC)\n1,Feed gas,40\n2,Sweet gas,42\n3,Rich amine,60\n"

TestSuite(meaning, .init = drafted_begin, .fini = end);

/* By its quantity, what qualifies that, its side and its unit; misspelt; two in one; and what stays unknown. */
Test(meaning, a_heading_is_understood_by_its_parts)
{
	static const struct {
		enum sheet_lists lists;
		const char *heading, *field, *of, *unit;
	} rows[] = {
		{LISTS_EQUIPMENT, "HOT SIDE / IN \u00b0F", "inlet-temperature", "hot-side", "degF"},
		{LISTS_EQUIPMENT, "Vessel des. press., psig", "design-pressure", NULL, "psig"},
		{LISTS_EQUIPMENT, "Koude zijde uitlaat temp. (\u00b0C)", "outlet-temperature", "cold-side", "degC"},
		{LISTS_EQUIPMENT, "warm ein/aus \u00b0C", "inlet-temperature outlet-temperature", "hot-side hot-side",
			"degC"},
		{LISTS_EQUIPMENT, "NPSH A / R, m", "npsh-available npsh-required", NULL, "m"},
		{LISTS_EQUIPMENT, "Design temperture (degC)", "design-temperature", NULL, "degC"},
		{LISTS_EQUIPMENT, "DESIGN PSIG / SHELL", "design-pressure", "shell-side", "psig"},
		{LISTS_EQUIPMENT, "Sovraspessore corrosione mm", "corrosion-allowance", NULL, "mm"},
		{LISTS_EQUIPMENT, "Press\u00e3o de projeto (barg)", "design-pressure", NULL, "barg"},
		{LISTS_EQUIPMENT, "Closing date", "", NULL, NULL},
		{LISTS_EQUIPMENT, "Minimum", "", NULL, NULL},
		{LISTS_LINES, "Leitung (DN-Medium-Nr.)", "tag", NULL, NULL},
		{LISTS_LINES, "LINE NUMBER\nSIZE-FLUID-NO-CLASS", "tag", NULL, NULL},
		{LISTS_LINES, "Pressure (max)", "", NULL, NULL},
		{LISTS_LINES, "P&ID No.", "", NULL, NULL},
		{LISTS_LINES, "Iso No.", "", NULL, NULL},
		{LISTS_LINES, "NDT %", "", NULL, NULL},
		{LISTS_EQUIPMENT, "MAWP, psig", "", NULL, NULL},
		{LISTS_EQUIPMENT, "Tray material", "", NULL, NULL},
		{LISTS_STREAMS, "H2S partial pressure, kPa", "", NULL, NULL},
		{LISTS_STREAMS, "Vapor pressure, bara", "", NULL, NULL},
		{LISTS_LINES, "FROM / TO", "from to", NULL, NULL},
		{LISTS_LINES, "Spec", "piping-class", NULL, NULL},
		{LISTS_LINES, "Presi\u00f3n de dise\u00f1o (kg/cm2 g)", "design-pressure", NULL, NULL},
		{LISTS_STREAMS, "Loading, mol/mol DEA / H2S", "h2s loading", NULL, "mol/mol"},
		{LISTS_STREAMS, "Acid gas flow, kmol/h", "", NULL, NULL},
		{LISTS_LABORATORY, "pH (20 \u00b0C)", "ph", NULL, NULL},
		{LISTS_LABORATORY, "H2S mol/mol", "h2s loading", NULL, "mol/mol"},
		{LISTS_RELIEF, "Auslegungsfall", "sized-for", NULL, NULL},
	};
	const struct words *words = words_open(&trial.arena);
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct field field = fields_find(&trial.arena, words, rows[i].lists, rows[i].heading);
		cr_expect(
			text_same(field.name ? field.name : "", rows[i].field), "%s: %s", rows[i].heading, field.name);
		cr_expect(!rows[i].of || text_same(field.of, rows[i].of), "%s: %s", rows[i].heading, field.of);
		cr_expect(!rows[i].unit || text_same(field.unit, rows[i].unit), "%s: %s", rows[i].heading, field.unit);
	}
}

Test(meaning, the_number_of_a_line_gives_what_is_plain_in_it)
{
	static const struct {
		const char *tag, *size, *class;
	} rows[] = {{"8\"-AM-1021-A1B-IH", "NPS 8", "A1B"}, {"1-1/2\"-LA-0410-D2A-N", "NPS 1-1/2", "D2A"},
		{"200-EG-84001-P64A", NULL, "P64A"}, {"6-P-3120", NULL, NULL}, {"4\"-GS-37001-H50", "NPS 4", NULL},
		{"7\"-AM-1021", NULL, NULL}, {"AM-1021-A1B-B2C", NULL, NULL}, {"L-1", NULL, NULL}, {"", NULL, NULL}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct line_number number = line_number_read(&trial.arena, rows[i].tag);
		cr_expect(text_same(number.size, rows[i].size), "%s: %s", rows[i].tag, number.size);
		cr_expect(text_same(number.piping_class, rows[i].class), "%s: %s", rows[i].tag, number.piping_class);
	}
}

Test(meaning, two_lengths_are_told_from_their_words)
{
	static const struct {
		const char *written, *across, *along;
	} rows[] = {{"1000 ID x 18500 mm", "1000 mm", "18500 mm"}, {"48\" ID x 62'-0\" T/T", "48\"", "62'-0\""},
		{"\u00d8 1.200 x 18.500 mm", "1.200 mm", "18.500 mm"}, {"900 x 2.400", "900", "2.400"},
		{"60\" ID", NULL, NULL}, {"2 x 3 x 4 m", NULL, NULL}, {"x", NULL, NULL}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *parts[2] = {NULL, NULL};
		bool two = list_cell_dimensions(&trial.arena, rows[i].written, parts);
		cr_expect(two == (rows[i].across != NULL), "%s", rows[i].written);
		cr_expect(!two || (text_same(parts[0], rows[i].across) && text_same(parts[1], rows[i].along)),
			"%s: %s, %s", rows[i].written, parts[0], parts[1]);
	}
}

#define BASIS                                                                                                          \
	"Parameter,Value,Unit,Remark\nFeed gas flow,95,MMscfd,\nFeed gas pressure,68,barg,\nLean "                     \
	"loading,0.01,mol/mol,\n"

/* Each row has what the draft must hold, and what it must not. */
Test(meaning, cells_give_what_they_say_and_no_more)
{
	static const struct {
		const char *sheet, *holds, *not ;
	} rows[] = {
		/* conditions by their units; a pressure with a mark is no temperature */
		{"Item;Description;Design;CA mm\nV-1;Flash drum;3.5 bar(g) / FV / 130 \u00b0C;3\n",
			"design-pressure=\"3.5 barg\" design-temperature=\"130 degC\" vacuum-design=\"yes\"", NULL},
		{"Item;Description;Design;CA mm\nV-1;Flash drum;3.5 / 130;3\n", "Design: 3.5 / 130", "design-"},
		{"Tag,Protects,Description,Set (psig)\nV-1,,Flash drum,\nPSV-1,V-1,,110 (c)\n", "", "degC"},
		{"Item;Description;Design T/P (\u00b0C / barg);CA mm\nV-1;Flash drum;130 / 3,5;3\n",
			"design-temperature=\"130 degC\" design-pressure=\"3.5 barg\"", NULL},
		{"Tag,Description,PWHT,MAWP psig\nV-1,Flash drum,\"yes, per code\",150\n", "pwht=\"yes\"",
			"design-pressure"},
		/* sides by what is hot; the ends of a side */
		{"Tag;Description;warm ein/aus \u00b0C;kalt ein/aus \u00b0C\nE-3;Lean amine cooler;91 / 45;28 / 38\n",
			"medium-inlet-temperature=\"28 degC\" medium-outlet-temperature=\"38 degC\"", "=\"91 degC / "},
		{"Tag,Description,Tubes: T in (degC),Tubes: T out (degC)\nE-3,Lean/rich exchanger,70,98\n",
			"<tube-side inlet-temperature=\"70 degC\" outlet-temperature=\"98 degC\"", " temperature="},
		/* a row for each side: what leaves the water is no outlet of the cooler; "in" beside "out" is an inlet */
		{"Tag,Service,Side,Fluid,T in \u00b0C,T out \u00b0C,P in barg,P out barg\n"
		 "E-7,Lean amine cooler,Shell,Cooling water,28,38,4.5,3.9\n,,Tube,Lean amine,84,45,9.1,8.2\n",
			"<shell-side service=\"cooling water\" inlet-temperature=\"28 degC\" outlet-temperature=\"38 "
			"degC\" inlet-pressure=\"4.5 barg\" outlet-pressure=\"3.9 barg\"",
			"name=\"Lean amine cooler\" outlet-temperature"},
		{"Tag,Service,T in degC\nE-7,Lean amine cooler,84\n", "temperature=\"84 degC\"", "inlet-temperature"},
		/* hot and cold: by the medium, by steam, by the fluid of a side, and of a lean/rich exchanger by themselves */
		{"ITEM,SERVICE,HOT SIDE,,,COLD SIDE,,DUTY\n,,FLUID,FLOW,T IN,FLUID,T "
		 "IN,\n,,,lb/h,\u00b0F,,\u00b0F,MMBtu/h\n"
		 "E-3,AMINE REBOILER,50# STEAM,26500,298,LEAN DEA,248,24.0\n",
			"heating-medium=\"steam\" steam-flow=\"26500 lb/h\" steam-temperature=\"298 degF\" "
			"duty=\"24.0 MMBtu/h\"",
			"medium-"},
		{"Item,Service,Hot side T in (degC),Hot side T out (degC),Cold side T in (degC),Cold side T out "
		 "(degC)\n"
		 "E-3,Lean/rich exchanger,120,85,60,95\n",
			"hot-inlet-temperature=\"120 degC\" hot-outlet-temperature=\"85 degC\" "
			"cold-inlet-temperature=\"60 degC\" cold-outlet-temperature=\"95 degC\"",
			" temperature="},
		{"Item,Service,Shell side fluid,Tube side fluid,Hot side fluid,Hot side T in (degC)\n"
		 "E-3,Lean/rich exchanger,Rich amine,Lean amine,Lean amine,120\n",
			"<tube-side service=\"lean\" inlet-temperature=\"120 degC\"", "hot-inlet"},
		/* a form with a column for each side; what it says of the whole is of the whole */
		{"Apparat;W-21;;\nBenennung;L\u00f6sung/L\u00f6sung-W\u00e4rmetauscher;;\n;;Mantelseite;Rohrseite\n"
		 "Medium;;Reichl\u00f6sung;Magerl\u00f6sung\nDurchsatz;kg/h;150000;146000\n"
		 "Eintrittstemperatur;\u00b0C;58;122\nWerkstoff;;P265GH;1.4571\nFl\u00e4che;m2;380;\n",
			"area=\"380 m2\"", "area=\"380 m2\"/>"},
		{"Apparat;W-21;;\nBenennung;L\u00f6sung/L\u00f6sung-W\u00e4rmetauscher;;\n;;Mantelseite;Rohrseite\n"
		 "Medium;;Reichl\u00f6sung;Magerl\u00f6sung\nDurchsatz;kg/h;150000;146000\n"
		 "Eintrittstemperatur;\u00b0C;58;122\nWerkstoff;;P265GH;1.4571\nFl\u00e4che;m2;380;\n",
			"<tube-side service=\"lean\" flow=\"146000 kg/h\" inlet-temperature=\"122 degC\" "
			"material=\"316Ti\" grade=\"1.4571\"",
			NULL},
		/* a steel is no number of tubes */
		{"Tag,Description,Tubes,Shell\nE-3,Reboiler,1.4404,P265GH\n", "<tube-side material=\"316L\"",
			"tubes=\""},
		{"Pos.;Benennung;Rohre;Bemerkung\nE-3;L\u00f6sung/L\u00f6sung;1.4404;Platten\n", "Rohre: 1.4404",
			"<tube-side"},
		/* two phases are no whole each */
		{"Stream,Description,Vapour flow (kg/h),Liquid flow (kg/h)\n1,Rich amine,100,900\n2,Lean amine,,800\n",
			"id=\"2\" service=\"lean\" flow=\"800 kg/h\"", "flow=\"100"},
		{"Tag,Description,Tubes\nE-3,Reboiler,316\n", "tubes=\"316\"", "material"},
		/* a solvent with its activator, in rows of its own and in a title */
		{"Solvent,aMDEA\nMDEA content,38 wt%\nActivator,\"Piperazine, 5 wt%\"\n,\n"
		 "Stream,Description,Temp. (degC)\n1,Lean amine,40\n",
			"amine=\"MDEA\" strength=\"38 wt%\" piperazine=\"5 wt%\" activated=\"yes\"", NULL},
		{"CO2 wash (aMDEA: 40 wt% MDEA + 5 wt% piperazine),\n,\nStream,Description,Temp. (degC)\n1,Lean "
		 "amine,40\n",
			"strength=\"40 wt%\" piperazine=\"5 wt%\"", NULL},
		/* the loadings of the two gases stand apart; the rich sample of a day is not the lean one */
		{"Date,Sample,H2S mol/mol,CO2 mol/mol\n2025-01-14,lean,0.1,0.02\n2025-03-14,lean,<0.1,0.02\n",
			"date=\"2025-03-14\" h2s=\"&lt;0.1 mol/mol\" co2=\"0.02 mol/mol\"", "loading=\""},
		/* one result a row under "Analysis"; groups of columns for two solutions that have the same results */
		{"Date,Sample point,Analysis,Result,Unit\n2025-01-14,SP-1 lean,DEA,30.2,wt%\n2025-01-14,SP-1 "
		 "lean,H2S,0.004,mol/mol\n2025-01-14,SP-1 lean,H2S,12,mg/kg\n2025-01-14,SP-1 lean,Iron,3,mg/L\n",
			"strength=\"30.2 wt%\" h2s=\"0.004 mol/mol\" iron=\"3 mg/L\"", "h2s=\"12"},
		{"Str\u00f6me\nStrom;Bezeichnung;p bar(\u00fc)\n7;Reichamin;5\n\nDatum;Armamin;;Reichamin;;\n;MDEA "
		 "Gew.-%;H2S mol/mol;MDEA Gew.-%;H2S mol/mol;Feststoffe "
		 "mg/l\n03.01.2024;39,8;0,011;38,9;0,372;18\n07.02.2024;39,5;0,012;38,6;0,381;22\n",
			"date=\"2024-01-03\" stream=\"7\" strength=\"38.9 wt%\" h2s=\"0.372 mol/mol\" solids=\"18 "
			"mg/L\"",
			NULL},
		{"Datum;Armamin;;Reichamin;;\n;MDEA Gew.-%;H2S mol/mol;MDEA Gew.-%;H2S mol/mol;Feststoffe "
		 "mg/l\n03.01.2024;39,8;0,011;38,9;0,372;18\n07.02.2024;39,5;0,012;38,6;0,381;22\n",
			"date=\"2024-01-03\" strength=\"39.8 wt%\" h2s=\"0.011 mol/mol\"", "solids="},
		/* the same where day and month cannot be told apart: neither has a date */
		{"Stream,Name,Pressure barg,Temp. degC\n7,Rich amine,5,60\n8,Lean amine,50,45\n\nDate,Lean amine,,Rich "
		 "amine,,\n,MDEA wt%,H2S mol/mol,MDEA wt%,H2S mol/mol,Solids "
		 "mg/l\n03/01/2024,39.8,0.011,38.9,0.372,18\n07/02/2024,39.5,0.012,38.6,0.381,22\n",
			"<dated-analysis stream=\"7\" strength=\"38.9 wt%\" h2s=\"0.372 mol/mol\"", "date=\"2024"},
		/* cases by their letters, and units beside; which letters are cases the sheets say elsewhere */
		{"\"Cases: A = summer, B = winter\"\n\nTag,Description,Duty or flow A,B,Unit\nE-1,Lean/rich "
		 "exchanger,3130,2100,kW\nP-1,Lean amine pump,92,52,m3/h\n",
			"<in case=\"winter\" flow=\"52 m3/h\"", NULL},
		{"Tag,Description,Duty or flow A,B,Unit\nE-1,Lean/rich exchanger,3130,2100,kW\nP-1,Lean amine "
		 "pump,92,52,m3/h\n",
			"note", "<in case"},
		{"\"Cases: A = summer, B = winter\"\n\nLine,DN,Fluid,Flow A,Flow B,Flow unit,Vel A "
		 "m/s\n31-A-1,200,Rich "
		 "amine,94.3,84.0,m3/h,0.8\n",
			"flow=\"94.3 m3/h\" velocity=\"0.8 m/s\"", NULL},
		{"Stream,3,4\nName,Rich amine,Lean amine\nMDEA wt%,45,45\nLoading (H2S+CO2) mol/mol,0.4,0.008\nof "
		 "which "
		 "H2S mol/mol,0.134,0.005\n",
			"loading=\"0.4 mol/mol\" h2s=\"0.134 mol/mol\"", NULL},
		/* a gas by the equipment at its ends */
		{"Tag,Description\nC-1,Amine absorber\nV-2,Rich flash "
		 "drum\n\nStream,Description,From,To,Temp. degC,Pressure barg\n1,Recycle gas,V-9,C-1,40,50\n2,Recycle "
		 "gas "
		 "clean,C-1,K-3,45,49\n",
			"gas=\"1\" treated=\"2\"", "role=\"other\""},
		{"Equipment list,\nTag,Description,Type\nC-1,Absorber,Column\nE-2,Trim cooler,CANCELLED\n",
			"<absorber tag=\"C-1\"", "tag=\"E-2\""},
		/* codes that a legend explains; words where both stand; the phase of a line */
		{"Line No.,NPS,Svc,Phase\n\"Service codes: RX reflux, RA rich "
		 "amine\",,,\n20-RX-1,2,RX,L\n20-RA-2,8,RA,M\n",
			"service=\"reflux\" two-phase=\"no\"", NULL},
		{"Line No.,NPS,Svc,Phase\n20-RX-1,2,RX,L\n20-RA-2,8,RA,M\n", "service=\"rich\" two-phase=\"yes\"",
			"service=\"reflux\""},
		{"Line No.,NPS,Svc,Fluid\n20-PG-1,2,PG,sweet gas\n20-RA-2,8,RA,rich amine\n", "service=\"treated gas\"",
			NULL},
		/* tests are numbered, and no streams: what was found in each solution, and its case as words */
		{"Test,Date,Case run,Lean amine,,Rich amine,,Sweet gas,\n,,,flow m3/h,DEA wt%,T \u00b0C,loading "
		 "mol/mol,H2S "
		 "ppmv,CO2 ppmv\n1,2023-08-15,A,88.5,30.1,67,0.43,3,95\n2,2024-01-23,B,79,28.6,58,0.43,2,80\n",
			"<dated-analysis date=\"2024-01-23\" strength=\"28.6 wt%\"", "<stream"},
		/* a tag with the letter of pumps is one, whatever it serves; the mark of a footnote is no part of it */
		{"Tag,Service,Rated flow gpm\nP-4,Amine Sump,50\nP-5 A/B*,Lean amine charge,420\n", "<pump tag=\"P-4\"",
			"<sump"},
		{"Tag,Service,Rated flow gpm\nP-4,Amine Sump,50\nP-5 A/B*,Lean amine charge,420\n", "tag=\"P-5 A/B\"",
			"A/B*"},
		{"Tag,Service,Size\nT-4,Amine Sump,2 m\n", "<sump tag=\"T-4\"", NULL},
		/* words in one of two flows are not owed where the other gives the figure; where none does they are */
		{"Stream,3,,\nName,Rich amine,,\nCase,A,B,\nMass flow kg/h,98100,87400,\nVolume flow "
		 "m3/h,94,2-phase,\nTemp. "
		 "degC,66,60,\n",
			"flow=\"87400 kg/h\"", "flow=\"t.b.d.\""},
		{"Stream,3,,\nName,Rich amine,,\nCase,A,B,\nMass flow kg/h,98100,by vendor,\nTemp. degC,66,60,\n",
			"flow=\"t.b.d.\"", NULL},
		/* a list with a hole is a list */
		{"Tag-Nr.;Benennung;Leistung;Mantelseite;;Rohrseite;;WBH;Bemerkung\n;;kW;T ein \u00b0C;T aus \u00b0C;T "
		 "ein "
		 "\u00b0C;T aus \u00b0C;j/n;\nE-1;Arm-/Reichamin-WT;1770;122;81;58;98;j;LV-3 nach "
		 "WT\nE-2;Reboiler;2410;120;122;148;148;j;-\nE-3;Kondensator;950;26;36;104;45;n;Prallblech\n",
			"<shell-side inlet-temperature=\"122 degC\" outlet-temperature=\"81 degC\"", NULL},
		{"Date,Sample,Fe mg/kg\n2025-01-14,lean,4\n2025-01-14,rich,6\n", "iron=\"4 ppmw\"", "iron=\"6"},
		/* cards: a form a sample; limits and results of before are no results; several figures without headings are left */
		{"Sample point,Lean amine ex cooler,\nSampled,2025-03-04 07:30,\nAmine strength,44.8,wt%\nHSS,1.9,wt% "
		 "as MDEA\n"
		 "Iron,4.2,mg/l\n,,\nSample point,Lean amine ex cooler,\nSampled,2025-04-08 07:15,\nAmine "
		 "strength,45.3,wt%\n"
		 "HSS,2.1,wt% as MDEA\nIron,4.9,mg/l\n",
			"<dated-analysis date=\"2025-04-08\" strength=\"45.3 wt%\" salts=\"2.1 wt%\" salts-as=\"MDEA\" "
			"iron=\"4.9 mg/L\"",
			"<stated"},
		{"Date,14-Jan-2026,,\nParameter,Unit,Lean amine,Rich amine\nMDEA,wt%,44,43\nLoading,mol/mol,0.01,0.41\n"
		 "Chloride,ppmw,800,790\n",
			"strength=\"44 wt%\" loading=\"0.01 mol/mol\" chloride=\"800 ppmw\"", "loading=\"0.41"},
		{"Rich amine,,,\nDate,14-Jan-2026,,\nMDEA,44,wt%,\nLoading,0.41,mol/mol,\nChloride,800,ppmw,\n",
			"Rich amine: Loading 0.41 mol/mol", "loading=\"0.41"},
		{"Sample,Lean amine,,,\nDate,14-Jan-2026,,,\nTest,Limit,Result,Unit,Last month\nMDEA,50,44,wt%,45\n"
		 "Loading,0.02,0.01,mol/mol,0.015\nChloride,1000,800,ppmw,750\n",
			"strength=\"44 wt%\" loading=\"0.01 mol/mol\" chloride=\"800 ppmw\"", "=\"50 wt%"},
		{"Sample,Lean amine,,\nDate,14-Jan-2026,,\nMDEA,50,44,wt%\nLoading,0.02,0.01,mol/mol\n"
		 "Chloride,1000,800,ppmw\n",
			"<unit", "strength=\"50"},
		/* metals by their standard; clad with its thickness; a part of the wall alone, or two metals of a pump, are left */
		{"Tag,Description,Material\nV-1,Flash drum,CS + 3 mm 316L clad\n",
			"material=\"carbon steel\" cladding=\"316L\" cladding-type=\"clad\" cladding-thickness=\"3 "
			"mm\"",
			NULL},
		{"Tag,Description,Material\nV-1,Flash drum,SA-516-70N + 904L weld overlay 4 mm\n",
			"cladding=\"904L\" cladding-type=\"overlay\" cladding-thickness=\"4 mm\" grade=\"SA-516-70N\"",
			NULL},
		{"Tag,Description,Material\nV-1,Flash drum,316L clad CS\n",
			"material=\"carbon steel\" cladding=\"316L\"", "material=\"316L"},
		{"Tag,Description,Material\nV-1,Flash drum,SA-516 70 + 316L overlay bottom\n",
			"Material: SA-516 70 + 316L overlay bottom", "cladding="},
		{"Tag,Description,Material\nP-1,Lean amine pump,A216 WCB / CF8M\n", "Material: A216 WCB / CF8M",
			"material="},
		{"Tag,Description,Material\nV-1,Flash drum,A240-316L\n", "material=\"316L\"", NULL},
		{"Tag,Description,Material\nV-1,Flash drum,A312 TP316L / 1.4404\n", "material=\"316L\"", NULL},
		{"Tag,Description,Material\nV-1,Flash drum,A516 TP316L\n", "A516 TP316L", "material="},
		{"Tag,Description,Material\nV-1,Flash drum,A312 TP316L / 1.4462\n", "A312 TP316L / 1.4462",
			"material="},
		/* diameter and length without a unit: only where nothing but millimetres is possible */
		{"Tag,Description,Size\nV-1,Flash drum,1200 ID x 4500 T/T\n", "diameter=\"1200 mm\" length=\"4500 mm\"",
			NULL},
		{"Tag,Description,Size\nV-1,Flash drum,120 ID x 480 T/T\n", "Size: 120 ID x 480 T/T", "diameter"},
		{"Tag,Description,Size\nP-1,Lean amine pump,3 x 50%\n", "installed=\"3\" in-use=\"2\"", "diameter"},
		/* what a solution holds by volume; a unit that is not known is not half read */
		{"Stream,Service,Flow m3/h,H2S g/l\n10,Lean amine,95,1.2\n20,Rich amine,97,22\n",
			"h2s-content=\"22 g/L\"", "h2s=\""},
		{"Stream,Service,Flow gpm,Acid gas scf/gal\n10,Lean amine,420,0.6\n20,Rich amine,430,3.4\n",
			"Acid gas scf/gal: 0.6<", "loading"},
		/* a design basis: by its words; each case its value; limits of the treated gas */
		{BASIS "H2S in feed gas,1.8,mol%,\nTreated gas H2S,4,ppmv,maximum\n",
			"<gas id=\"feed gas\" role=\"feed\" flow=\"95 MMscfd\" pressure=\"68 barg\" h2s=\"1.8 mol%\"",
			NULL},
		{BASIS "H2S in feed gas,1.8,mol%,\nTreated gas H2S,4,ppmv,maximum\n",
			"<specification gas=\"treated gas\" h2s=\"4 ppmv\"", NULL},
		{BASIS "Lean amine circulation,310,m3/h,\nSolvent,MDEA,,\nAmine strength,45,wt%,\n",
			"<solvent amine=\"MDEA\" strength=\"45 wt%\"", NULL},
		{BASIS "Cooling water supply temperature,28,\u00b0C,\nRich loading,0.42,mol/mol,\n",
			"<stream id=\"rich amine\" service=\"rich\" loading=\"0.42 mol/mol\"",
			"loading=\"0.42 mol/mol\" service=\"lean"},
		{"Parameter,Unit,Case 1: Normal,Case 2: Turndown,Maximum\nFeed gas flow,Nm3/h,120000,60000,130000\n"
		 "Feed gas pressure,barg,55,54,60\nRich loading,mol/mol,0.45,0.42,0.5\n",
			"<in case=\"case-2-turndown\" flow=\"60000 Nm3/h\" pressure=\"54 barg\"/>", "=\"130000"},
		/* and what it must not make of it: a design pressure, a part of the flow, two streams, C3+, the acid gas, what is nobody's */
		{BASIS "Feed gas design pressure,80,barg,\n", "Feed gas design pressure", "80 barg\""},
		{BASIS "Lean amine flow,150,m3/h,per train\n", "per train", "flow=\"150"},
		{BASIS "Feed gas temperature,38,\u00b0C,maximum\n", "maximum", "temperature=\"38"},
		{BASIS "Lean amine and rich amine temperature,45,\u00b0C,\n", "rich amine temperature",
			"temperature=\"45"},
		{BASIS "C3+ in feed gas,2.1,mol%,\n", "C3+ in feed gas", "propane"},
		{BASIS "Sauergas H2S,85,Vol.-%,\n", "Sauergas H2S", "h2s="},
		{BASIS "Acid gas loading,0.4,mol/mol,\n", "Acid gas loading", "=\"0.4 mol"},
		{BASIS "Chloride,500,ppmw,\n", "Chloride", "chloride="},
		/* before and after a revamp; the numbers of the rows are neither tags nor notes */
		{"Item,Description,Units,Before Revamp,After Revamp\n1,Feed gas flow,MMscfd,22,30.5\n2,Feed gas "
		 "pressure,psig,165,165\n3,Lean loading,mol/mol,0.12,0.1\n4,Treated gas spec; H2S max,ppmv,10,4\n",
			"<in case=\"before-revamp\" flow=\"22 MMscfd\"", "Item"},
		/* a limit on what a solution may carry is one; the highest temperature of a gas is that of some case */
		{BASIS "Rich loading; max,0.45,mol/mol,\n",
			"<operating-limit about=\"rich amine\" quantity=\"loading\" at-most=\"0.45 mol/mol\" data=",
			"<stream id=\"rich amine\" service=\"rich\" loading"},
		{BASIS "Heat stable salts; max,1.5,wt%,\n",
			"<operating-limit about=\"solvent\" quantity=\"salts\" at-most=\"1.5 wt%\"", NULL},
		{BASIS "Heat stable salts,1.5,wt%,\n", "Heat stable salts", "operating-limit"},
		{BASIS "Max. feed gas temperature,45,\u00b0C,\n", "Max. feed gas temperature", "45 degC"},
		{BASIS "Rohgastemperatur,32,\u00b0C,\nLuftdruck,1.008,bar abs,\n", "temperature=\"32 degC\"", NULL},
		/* what shell and tubes have: named, both the same, or in an order that the sheet gives; else it is not known */
		{"Tag,Description,Design pressure barg,Material\nE-1,Lean amine cooler,12 / 12,Shell CS / tubes 316L\n",
			"<shell-side design-pressure=\"12 barg\" material=\"carbon steel\"", NULL},
		{"Tag,Description,Design pressure barg,Material\nE-1,Lean amine cooler,12 / 10,CS / 316L\n",
			"Design pressure barg: 12 / 10", "design-pressure=\"1"},
		{"Tag,Description,Design pressure barg,Material,Remark\nE-1,Lean amine cooler,12 / 10,CS / 316L,tube / "
		 "shell\n",
			"<tube-side design-pressure=\"12 barg\" material=\"carbon steel\"", NULL},
		{"Tag,Description,Temperature degC,Remark\nE-1,Lean amine cooler,87 / 42,shell / tube\n", "87 / 42",
			"temperature=\"87"},
		{"Tag,Description,Design pressure barg,Remark\nE-1,Lean amine cooler,-1 / 12,shell / tube\n", "<cooler",
			"design-pressure=\"-1"},
		{"Tag,Description,Material\nE-1,Lean amine cooler,CS / tubes 316L\n", "CS / tubes 316L", "316L\" "},
		/* tubes are of the better metal; two alloys may stand in either order */
		{"Tag,Description,Material\nE-1,Lean amine cooler,CS / 316L\n", "<tube-side material=\"316L\"", NULL},
		{"Tag,Description,Material\nE-1,Lean amine cooler,304L / 316L\n", "304L / 316L", "material="},
		/* a relief valve blows where its row says; what a trip does by its words */
		{"Tag,Service,Diameter mm\nV-7,Flash drum,900\n\nTag,Protects,Set psig,Action,Size\nPSV-7,V-7,90,to "
		 "flare,4P6\n",
			"discharges-to=\"flare\" orifice=\"P\"", NULL},
		{"Tag,Service,Diameter mm\nV-7,Flash drum,900\n\nTag,Protects,Set psig,Action\nPSV-7,V-7,90,to be "
		 "confirmed\n",
			"to be confirmed", "discharges-to"},
		{"Stream,Description,Flow kg/h,\"Composition / C1, mol%\",\"Composition / H2, mol%\"\n1,Feed "
		 "gas,100,80,12\n",
			"hydrogen=\"12 mol%\"", NULL},
		/* what remarks say of sides and of the duty of a pump */
		{"Tag,Description,Remarks\nE-3,Amine reboiler,steam in tubes\n", "<tube-side service=\"steam\"", NULL},
		{"Tag,Description,Remarks\nE-3,Amine reboiler,no steam in tubes\n", "no steam in tubes",
			"service=\"steam\""},
		{"Tag,Description,Remarks\nP-3,Lean amine pump,\"68 m3/h, 440 m, 132 kW; A motor\"\n",
			"rated-flow=\"68 m3/h\" rated-head=\"440 m\"", "power="},
		{"Tag,Description,Remarks\nP-3,Lean amine pump,\"440 m from the fence\"\n", "440 m from the fence",
			"rated-head"},
		/* the two ends of a design are no cases; two values that cannot be them are of two sides */
		{"Tag,Description,Des. P (barg) int/ext,Des. T (\u00b0C) max/min\nT-1,Absorber,78 / FV,90 / -10\n",
			"design-pressure=\"78 barg\" vacuum-design=\"yes\" design-temperature=\"90 degC\" "
			"minimum-design-temperature=\"-10 degC\"",
			"<case"},
		{"Tag,Description,Des. T (\u00b0C) max/min\nE-1,Lean amine cooler,120 / 70\n", "120 / 70",
			"design-temperature="},
		{"Tag,Description,Des. T (\u00b0C) max/min\nV-1,Flash drum,110\n",
			"<flash-drum tag=\"V-1\" name=\"Flash drum\" "
			"design-temperature=\"110 degC\"",
			NULL},
		{"Tag,Description,Des. T (\u00b0C) max/min\nV-1,Flash drum,-20\n", "max/min: -20",
			"design-temperature=\"-20"},
		{"Tag,Description,Temperature \u00b0C,Pressure barg\nT-2,Amine regenerator,105 / 124,0.9\n",
			"top-temperature=\"105 degC\" bottom-temperature=\"124 degC\"", " temperature="},
		{"Tag,Description,Material (shell / internals)\nV-1,Flash drum,SA-516-70N\n",
			"material=\"carbon steel\"", "<internals"},
		{"Tag,Description,Material (shell / internals)\nT-9,Amine storage tank,\"CS, epoxy lined\"\n",
			"epoxy lined", "<internals"},
		/* tags without the number of the unit that all others have; of one with no such item nothing is made */
		{"Tag,Description\n53-T-1,Absorber\n53-V-2,Flash drum\n53-P-3,Lean amine pump\n\nLine "
		 "No.,Size,From,To\n8\"-RA-1,8,T-1,V-2\n",
			"from=\"53-T-1\" to=\"53-V-2\"", NULL},
		{"Tag,Description\n53-T-1,Absorber\n53-V-2,Flash drum\n53-P-3,Lean amine pump\n\nLine "
		 "No.,Size,From,To\n8\"-RA-1,8,T-7,V-2\n",
			"from: T-7", "from=\"53"},
		/* a column of limits of a laboratory; of a solution that is not the lean, or of no bound, nothing is made */
		{"Parameter,Unit,12.01.2026,16.02.2026,Limit\nMDEA,wt%,44.1,44.8,43 - "
		 "46\nChloride,mg/kg,180,210,500\nIron,mg/kg,3,4,< 10\n",
			"<operating-limit about=\"solvent\" quantity=\"strength\" at-least=\"43 wt%\" at-most=\"46 "
			"wt%\"",
			NULL},
		{"Parameter,Unit,12.01.2026,16.02.2026,Limit\nMDEA,wt%,44.1,44.8,43 - "
		 "46\nChloride,mg/kg,180,210,500\nIron,mg/kg,3,4,< 10\n",
			"quantity=\"chloride\" at-most=\"500 ppmw\"", NULL},
		{"Parameter,Unit,12.01.2026,16.02.2026,Target\nMDEA,wt%,44.1,44.8,45\nChloride,mg/kg,180,210,< 500\n",
			"quantity=\"chloride\" at-most=\"500 ppmw\"", "quantity=\"strength\""},
		/* of several rich streams the sample is of that which leaves the absorber; of two at one pressure nobody knows */
		{"Stream,Service,Pressure barg,Flow m3/h\n1,Lean amine,70,95\n2,Rich amine,69,97\n3,Rich "
		 "amine,6,97\n\nDate,Sample,Iron "
		 "mg/kg\n12.01.2026,rich,8\n19.01.2026,rich,9\n",
			"<dated-analysis date=\"2026-01-12\" stream=\"2\" iron=\"8 ppmw\"", NULL},
		{"Stream,Service,Pressure barg,Flow m3/h\n1,Lean amine,70,95\n2,Rich amine,6.5,97\n3,Rich "
		 "amine,6,97\n\nDate,Sample,Iron "
		 "mg/kg\n12.01.2026,rich,8\n19.01.2026,rich,9\n",
			"rich", "iron=\"8"},
		/* headings that are units and no more, under cases, with the title of the sheet in the corner */
		{"UNIT 62 MATERIAL BALANCE,,CASE A - NORMAL,,CASE B - HIGH "
		 "SULFUR,\nSTR,DESCRIPTION,LB/HR,\u00b0F,LB/HR,\u00b0F\n3,LEAN "
		 "DEA,168000,110,205000,114\n4,RICH DEA,174700,142,213800,148\n",
			"<in case=\"case-b-high-sulfur\" flow=\"205000 lb/h\" temperature=\"114 degF\"/>", NULL},
		{"Tag,Name,OPER. PSIG @ \u00b0F,DESIGN PSIG @ \u00b0F\nV-1,Flash drum,65 @ 140,110 @ 250\n",
			"pressure=\"65 psig\" temperature=\"140 degF\" design-pressure=\"110 psig\" "
			"design-temperature=\"250 "
			"degF\"",
			NULL},
		/* what a pump takes is the power of its shaft */
		{"Tag,Name,BHP / motor hp\nP-1,Lean amine pump,48 / 60\n", "power=\"48 hp\"", "60 hp\""},
		{"Tag,Name,Driver / motor hp\nP-1,Lean amine pump,48 / 60\n", "48 / 60", "power="},
		/* pumps that are described one by one, and the line of both */
		{"Tag,Name\nP-1A,Lean amine pump\nP-1B,Lean amine pump\nC-1,Absorber\n\nLine "
		 "No.,Size,From,To\n6\"-LA-1,6,P-1A/B,C-1\n",
			"from=\"P-1A\" to=\"C-1\"", NULL},
		/* the sample is named before its day, limits stand where samples do; figures of a row name no stream */
		{"Probe;Datum;MDEA;Beladung ges.;H2S;Cl;Fe\n;;Ma.-%;mol/mol;mol/mol;mg/kg;mg/kg\nL\u00f6sung "
		 "arm;07.01.2026;39,8;0,010;0,002;95;2\nL\u00f6sung "
		 "arm;04.02.2026;40,2;0,009;0,002;102;3\nGrenzwert;;38-42;< 0,015;;< 500;< 10\n",
			"<dated-analysis date=\"2026-01-07\" strength=\"39.8 wt%\" loading=\"0.010 mol/mol\"", NULL},
		{"Probe;Datum;MDEA;Beladung ges.;H2S;Cl;Fe\n;;Ma.-%;mol/mol;mol/mol;mg/kg;mg/kg\nL\u00f6sung "
		 "arm;07.01.2026;39,8;0,010;0,002;95;2\nL\u00f6sung "
		 "arm;04.02.2026;40,2;0,009;0,002;102;3\nGrenzwert;;38-42;< 0,015;;< 500;< 10\n",
			"quantity=\"iron\" at-most=\"10 ppmw\"", NULL},
		/* "o" is without in German, yes in French beside "n" */
		{"Ltg.-Nr.;DN;von;nach;Isol.\n7-101;150;P-7;K-7;o\n7-102;200;K-7;B-7;W\n", "Isol.: o", NULL},
		{"Ligne;DN;De;Vers;TTAS\n7-101;150;P-7;K-7;O\n7-102;200;K-7;B-7;N\n", "pwht=\"yes\"", NULL},
		{"Ltg.-Nr.;DN;Medium;von;nach\n7-101;150;reiche L\u00f6sung;P-7;K-7\n7-199;;entfallen;;\n", "7-101",
			"<line tag=\"7-199\""},
		{"Pos.;Benennung;Bauart;c2 mm;Heizfl. m\u00b2\nW-1;Verdampfer;Thermosiphon, stehend;3;290\n",
			"type=\"thermosiphon\" corrosion-allowance=\"3 mm\" area=\"290 m2\"", NULL},
		/* a design basis without headings, its sections numbered; what is measured in a drum is no drum */
		{"UNIT 41 - BASIS OF DESIGN,,\n1,GENERAL,\n1.1,Location,Coastal\n2.1,Feed gas flow,92 MMSCFD\n2.2,Feed "
		 "gas pressure,61 "
		 "barg\n2.4,H2S in feed gas,0.8 mol%\n3.1,H2S in treated gas,4 ppmv max\n4.3,Rich loading,0.45 mol/mol "
		 "max\n",
			"<specification gas=\"treated gas\" h2s=\"4 ppmv\"",
			"<stream id=\"rich amine\" service=\"rich\" loading"},
		{"UNIT 41 - BASIS OF DESIGN,,\n1,GENERAL,\n1.1,Location,Coastal\n2.1,Feed gas flow,92 MMSCFD\n2.2,Feed "
		 "gas pressure,61 "
		 "barg\n2.4,H2S in feed gas,0.8 mol%\n3.1,H2S in treated gas,4 ppmv max\n4.3,Rich loading,0.45 mol/mol "
		 "max\n",
			"quantity=\"loading\" at-most=\"0.45 mol/mol\"", NULL},
		/* a footnote with the specification of the one treated gas, and what bounds or doubts it */
		{GASES "Note 1: sweet gas specification 4 ppmv H2S and 150 ppmv CO2 in all cases.,,\n",
			"<specification gas=\"2\" h2s=\"4 ppmv\" co2=\"150 ppmv\"", NULL},
		{GASES "(1) Sales gas limit is 0.25 gr H2S/100 scf and 2.0 mol% CO2.,,\n",
			"<specification gas=\"2\" h2s=\"0.25 gr/100scf\" co2=\"2.0 mol%\"", NULL},
		{GASES "(1) Reingas: H2S max. 50 mg/Nm3.,,\n", "<specification gas=\"2\" h2s=\"50 mg/Nm3\"", NULL},
		{GASES "Sweet gas specification was 4 ppmv H2S before the revamp.,,\n", "was 4 ppmv", "<specification"},
		{GASES "Sweet gas specification 4 - 6 ppmv H2S.,,\n", "4 - 6 ppmv", "<specification"},
		{GASES "Sweet gas specification 4 ppmv for H2S and CO2.,,\n", "4 ppmv for", "<specification"},
		{GASES "Sweet gas limit 50 ppmv; H2S is not limited if burnt.,,\n", "50 ppmv", "<specification"},
		{GASES "Note 2: feed contains 25 ppmv mercaptans (mostly methyl).,,\n", "mercaptans=\"25 ppmv\"", NULL},
		{GASES "Note 2: feed contains max. 25 ppmv mercaptans.,,\n", "max. 25", "mercaptans="},
		{GASES "4,Sweet gas of K-72,40\nNote: sweet gas specification 4 ppmv H2S.,,\n", "4 ppmv H2S",
			"<specification"},
		{GASES "(2) Antifoam is injected batchwise upstream of K-71.,,\n",
			"antifoam=\"yes\" antifoam-continuous=\"no\"", NULL},
		{GASES "(2) No antifoam is injected.,,\n", "No antifoam", "antifoam=\"yes\""},
		{"HEAT BALANCE - 45 WT% MDEA (NO ACTIVATOR),,\n" GASES, "activated=\"no\"", NULL},
		/* the two ends of a pump by an arrow, of a column by words; not all of it read: a note */
		{"Tag,Description,Op. P / T (barg / degC)\nP-1,Lean pump,8.0 -> 61.0 / 45\n",
			"suction-pressure=\"8.0 barg\" discharge-pressure=\"61.0 barg\" temperature=\"45 degC\"", NULL},
		{"Tag,Description,Op. P / T (barg / degC)\nP-1,Lean pump,61.0 -> 8.0 / 45\n", "61.0 -> 8.0 / 45",
			"suction-pressure"},
		{"Tag,Description,Op. P / T (barg / degC)\nC-1,Absorber,\"57.5 / 49 top, 66 btm\"\n",
			"pressure=\"57.5 barg\" top-temperature=\"49 degC\" bottom-temperature=\"66 degC\"", NULL},
		{"Tag,Description,Op. P / T (barg / degC)\nC-1,Absorber,\"57.5 / 49 top, 66 mid\"\n", "66 mid",
			"top-temperature"},
		{"Tag,Description,Operating pressure (psig)\nC-1,Absorber,1000 btm\nC-2,Regenerator,12 top\n",
			"<regenerator tag=\"C-2\" name=\"Regenerator\" top-pressure=\"12 psig\"",
			"pressure=\"12 psig btm"},
		{"Tag,Description,Operating pressure (psig)\nC-1,Absorber,1000 btm\nC-2,Regenerator,12 top\n",
			"<absorber tag=\"C-1\" name=\"Absorber\" pressure=\"1000 psig\"", NULL},
		{"Tag,Description,Operating pressure (psig)\nC-1,Absorber,1000 top\nC-2,Regenerator,12 top\n",
			"1000 top", " pressure=\"1000"},
		{"Tag,Description,Unit,Low,High,Action\nLSLL-4111,Absorber sump level,%,12,,Closes "
		 "LV-4111\nLT-4113,Flash drum "
		 "level,%,25,75,Alarm\nPSHH-4121,Regenerator pressure,barg,,1.6,Stops steam\nTT-4125,Reboiler outlet "
		 "temp,\u00b0C,,128,Alarm\n",
			"LT-4113", "<flash-drum"},
		/* a bare allowance: in the unit that alone can be meant */
		{"Tag,Description,CA\nV-1,Flash drum,3\nV-2,Reflux drum,0.125\nV-3,Sump,0.5\n",
			"corrosion-allowance=\"3 mm\"", "0.5 mm"},
		{"Tag,Description,CA\nV-1,Flash drum,3\nV-2,Reflux drum,0.125\nV-3,Sump,0.5\n",
			"corrosion-allowance=\"0.125 in\"", "0.5 in"},
		/* "Sr." numbers the rows; two words over yes and no: the one that is answered so */
		{"Sr.,Tag,Description,PWHT / trim\n1,V-1,Flash drum,Y\n2,V-2,Reflux drum,N\n3,V-3,Amine "
		 "sump,Y\n4,V-4,Acid "
		 "gas knock-out drum,N\n5,V-5,Inlet separator,N\n",
			"pwht=\"yes\"", "Sr."},
		/* entry and exit in German; the allowance by its unit */
		{"Pos.;Benennung;Mantelseite TE \u00b0C;Mantelseite TA \u00b0C;KZ "
		 "[mm]\nW-1;Magerl\u00f6sungsk\u00fchler;76;45;3\n",
			"<shell-side inlet-temperature=\"76 degC\" outlet-temperature=\"45 degC\"", NULL},
		{"Stream,Service,Flow m3/h,Loading (mol AG / mol DEA)\n10,Lean amine,95,0.03\n",
			"loading=\"0.03 mol/mol\"", NULL},
		{"Stream,Service,Flow m3/h,Loading (mol H2S / mol DEA)\n10,Lean amine,95,0.03\n", "0.03",
			" loading=\"0.03"},
		/* walls as they were read, by place and year; what holds at one place is not that of the item; "t min" is no time */
		{"UT SURVEY (all readings in inches),,,,,\nCML,Equipment,Location,Nominal,,Readings,\n,,,t nom,t "
		 "min,2019,2024\nN-1,V-2 reflux "
		 "drum,bottom head,0.500,0.31,0.472,0.455\nN-2,V-2 reflux drum,shell,0.375,0.25,0.361,0.352\n",
			"<wall-reading thickness=\"0.455 in\" date=\"2024\" place=\"bottom head\"",
			"required-thickness="},
		{"UT SURVEY,,,,\nCML,Equipment,Location,Readings,\n,,,2019,2024\nN-1,V-2 reflux "
		 "drum,head,0.472,0.455\nN-2,V-2 "
		 "reflux drum,shell,0.361,0.352\n",
			"Readings / 2019: 0.472", "<wall-reading"},
		{"Tag,Description,Year 2019,Wall thickness mm\nV-2,Reflux drum,9,12\n", "<reflux-drum",
			"<wall-reading"},
		/* materials by circuit: a circuit is a line between items, whatever its end of them */
		{"Tag,Description\nC-2,Regenerator\nV-3,Reflux drum\n\nCircuit,From - To,Fluid,Material,CA "
		 "mm,PWHT\nCC-1,C-2 overhead "
		 "to V-3,Wet acid gas,316L,0,N\n",
			"<line tag=\"CC-1\" from=\"C-2\" to=\"V-3\"", NULL},
		{"Abschnitt;Werkstoff;Korr.-Zuschl. mm;WBH\nReichl\u00f6sung hei\u00df (nach "
		 "W-7);1.4404;0;nein\nMagerl\u00f6sung kalt;C-Stahl;3;ja\n",
			"material=\"carbon steel\" corrosion-allowance=\"3 mm\" pwht=\"yes\" service=\"lean\"", NULL},
		{"Tag,Description\nC-2,Regenerator\nV-3,Reflux drum\n\nCircuit,From - To,Fluid,Material,CA "
		 "mm,PWHT\nCC-1,C-2 repaired "
		 "to V-3,Wet acid gas,316L,0,N\n",
			"from: C-2 repaired", "from=\"C-2\""},
		/* a design basis with a date at its head is no card of a laboratory */
		{"Date,12-Mar-2026,\nAmine strength,45,wt%\nLean loading,0.01,mol/mol\nFeed gas flow,95,MMscfd\n"
		 "Feed gas pressure,68,barg\nTreated gas H2S,4,ppmv\n",
			"<unit", "dated-analysis"},
		/* the class in the number of a line, its two ends */
		{"Line No.,From / To,Op. temp. (degC)\n6\"-AR-37004-D2A-H,C-1 / LV-1,70\n",
			"size=\"NPS 6\" piping-class=\"D2A\"", NULL},
		/* an activator without a name is a note; one that is named is stated */
		{"Solvent: MDEA 42 wt% with activator 6 wt%,\n,\nStream,Description,Temp. (degC)\n1,Lean amine,40\n",
			"activator, not named: 6 wt%", "piperazine="},
		/* limits beside streams are those of no stream of their own */
		{"Laboranalyse Amin,,,,\nParameter,Einheit,Lean Amin,Rich Amin,Grenzwert\nAmin "
		 "ges.,Gew.-%,38.2,37.5,35-45\nChlorid,mg/kg,320,310,500\n",
			"strength=\"38.2 wt%\"", "<stream id=\"Grenzwert\""},
		{"Parameter,Unit,Lean amine,Rich amine,Max\nAmine "
		 "strength,wt%,38.2,37.5,45\nChloride,mg/kg,320,310,500\n",
			"chloride=\"310 ppmw\"", "<stream id=\"Max\""},
		/* atmospheric of one side is no unit of the other; a unit after the second is */
		{"Tag,Description,Design pressure shell/tube (barg)\nE-5,Lean cooler,12 / ATM\n",
			"<shell-side design-pressure=\"12 barg\"", "12 atm"},
		{"Tag,Description,Design pressure shell/tube\nE-5,Lean cooler,12 / 8 barg\n",
			"<shell-side design-pressure=\"12 barg\"", NULL},
		/* columns beside each other under what they are; an outside diameter is no inside one */
		{"Column data sheet,,\nItem,Absorber,Regenerator\nTag,T-7,T-8\nNumber of trays,24,22\nOD x T/T,2400 x "
		 "21000,1800 x 18000\n",
			"<regenerator tag=\"T-8\" trays=\"22\"", "diameter="},
		/* a note above the headings is no group of theirs, and takes no key from them */
		{"Note,see hold list,\nLine,From,NPS\nL-1,T-7,6\n", "<line tag=\"L-1\"", "tag=\"T-7\""},
		{"Note,see hold list,\nLine,From,NPS\nL-1,T-7,6\n",
			"<note document=\"s!A1\">Note | see hold list</note>", NULL},
		{"Hinweis: alle Werkstoffe vorl\u00e4ufig,\nPos.,Benennung\nV-1,Entspanner\n", "alle Werkstoffe", NULL},
		{"Line list of a unit,\nTag,Description\nV-1,Flash drum\n", "<flash-drum", "Line list of a unit"},
		/* what a bracket says of a part is no mark; what it says of a pressure is its unit */
		{"Tag,Description,Corr. allowance\nC-2,Regenerator,3 mm (top 1.5)\n", "3 mm (top 1.5)",
			"corrosion-allowance="},
		{"Tag,Description,Corr. allowance\nC-2,Regenerator,3 mm (note 2)\n", "corrosion-allowance=\"3 mm\"",
			NULL},
		{"Tag,Description,Design pressure\nC-2,Regenerator,3.5 bar(g) / FV\n",
			"design-pressure=\"3.5 barg\" vacuum-design=\"yes\"", NULL},
		/* an owner by its tag and its name */
		{"Relief valves,,\nTag,Protects,Set pressure\nPSV-2,T-7 Regenerator,3.5 barg\nPSV-3,V-7 Flash drum,10 "
		 "barg\n",
			"<regenerator tag=\"T-7\" name=\"Regenerator\"", "tag=\"V-7 Flash"},
		/* a metal with its allowance and its heat treatment; where there is a choice, nothing is chosen */
		{"Circuit,Material\nRich circuit,CS + 3 mm CA; PWHT\nLean circuit,CS + 3 mm CA\n",
			"material=\"carbon steel\" corrosion-allowance=\"3 mm\" pwht=\"yes\" service=\"rich\"", NULL},
		{"Circuit,Material\nRich circuit,CS + 6 mm CA or 304L\nLean circuit,\"CS + 3 mm CA, no PWHT\"\n",
			"CS + 6 mm CA or 304L", "corrosion-allowance"},
		/* trips by the words of other languages; an alarm is none */
		{"Pos.,Benennung\nT-7,Absorber\nP-7,Magerl\u00f6sungspumpe\n\nMSR-Stelle,Funktion,Apparat,Schaltwert,"
		 "Einheit,Aktion\n"
		 "LZL-7,Stand tief-tief,T-7,12,%,Alarm\nFZL-8,Umlauf tief,P-7,40,m3/h,stoppt P-7\nTAH-9,Temperatur "
		 "hoch,T-7,70,\u00b0C,Alarm\n",
			"<trip tag=\"FZL-8\" on=\"low flow\" setting=\"40 m3/h\" stops=\"P-7\"", "<trip tag=\"TAH-9\""},
		/* the same words in another row are another statement */
		{"Tag,Description,CML,Nominal mm\nV-7,Reflux drum,1,9.5\nV-7,Reflux drum,2,9.5\n",
			"<note document=\"s!A3:D3\">Nominal mm: 9.5</note>", NULL},
		/* a legend of cases behind a word for them */
		{"Cases: A = Normal operation; B = Turndown 50 %,,\nStream,Case,Temp (degC)\nLean amine,A,45\nLean "
		 "amine,B,44\n",
			"title=\"Normal operation\"", "title=\"A\""},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *said, *draft = drafted(&trial.arena, rows[i].sheet, &said);
		cr_expect(strstr(draft, rows[i].holds), "%zu: %s\n%s%s", i, rows[i].holds, draft, said);
		cr_expect(!rows[i].not || !strstr(draft, rows[i].not ), "%zu: %s\n%s", i, rows[i].not, draft);
	}
}
