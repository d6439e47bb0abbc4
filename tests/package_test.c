/* Sheets of a package through a map into a draft, and the map proposed from them. All sheets are invented. */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "base/embedded.h"
#include "command/commands.h"
#include "import/package.h"
#include "import/propose.h"
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

TestSuite(package, .init = begin, .fini = end);

/* Proposes a map for the sheets and imports them by it; then prints what `after` prints in $SCRATCH, where m.xml and d.xml are. */
static struct run imported(const char *sheets, const char *after)
{
	return shell(&trial.arena,
		arena_format(&trial.arena,
			"\"$LEANRICH\" import --quiet --propose --output $SCRATCH/m.xml %s 2>/dev/null; "
			"\"$LEANRICH\" import --map $SCRATCH/m.xml -o $SCRATCH/d.xml %s; cd $SCRATCH; %s",
			sheets, sheets, after));
}

static const char *value_of(const char *path)
{
	return arena_format(&trial.arena, "xmllint --xpath \"string(%s)\" d.xml;", path);
}

#define NAMED(name) "//*[local-name()='" name "']"

Test(package, a_line_list_with_two_rows_of_headings)
{
	const char *after = arena_format(&trial.arena, "%s%s%s%s%s", value_of(NAMED("line") "[1]/@design-pressure"),
		value_of(NAMED("line") "[2]/@temperature"), value_of(NAMED("line") "[2]/@vacuum-design"),
		value_of(NAMED("line") "[3]/@design-pressure"), value_of(NAMED("line") "[1]" NAMED("note")));
	struct run run = imported("tests/data/sheets/petrel-lines.csv", after);
	cr_expect_str_eq(run.output, "1150 psig\n240 degF\nyes\nt.b.d.\nSteam out twice a year; check valve at V-102\n",
		"%s", run.output);
	cr_expect(
		strstr(run.errors, "petrel-lines!L9: Design / Insul.: \"#REF!\" left out: an error of the spreadsheet"),
		"%s", run.errors);
	cr_expect(strstr(run.errors, "51 cells with meaning: 39 arrived, 11 interpreted, 1 left"), "%s", run.errors);
}

/* Streams in columns, cases in blocks, decimal commas, thousands by points; what follows from the composition, by hand. */
Test(package, a_stream_table_in_german)
{
	const char *after = arena_format(&trial.arena, "%s%s%s%s%s%s", value_of(NAMED("stream") "[@id='3']/@flow"),
		value_of(NAMED("stream") "[@id='3']/@h2s"), value_of(NAMED("stream") "[@id='4']/@strength"),
		value_of(NAMED("gas") "[@id='1']/@role"),
		value_of(NAMED("gas") "[@id='1']" NAMED("in") "/@temperature"), value_of(NAMED("case") "[1]/@id"));
	/* 3.9 / 10.9 = 0.3578; 12.9 x 119.163 / (12.9 x 119.163 + 87 x 18.0153) = 49.51 % */
	struct run run = imported("tests/data/sheets/strom.csv", after);
	cr_expect_str_eq(run.output, "98450.5 kg/h\n0.3578\n49.51 wt%\nfeed\n45 degC\nnormalfall\n", "%s%s", run.output,
		run.errors);
}

Test(package, several_sheets_state_one_thing_beside_each_other)
{
	struct run run = shell(&trial.arena,
		"cd $SCRATCH; printf 'Tag,Description,Design press. (barg),Material\\nC-1,Amine absorber,70,CS\\nP-2 "
		"A/B,Rich amine pump,20,CS\\n' >eq.csv; "
		"printf 'Equipment,Part,Material,Design press. (barg)\\nC-1,,CS,68\\nC-1,Top section,SS 316L,\\n' "
		">mat.csv; "
		"printf 'Line No.,From,To,Size\\nL-1,C-1,P-2A/B,6\"\\nL-2,C-1,X-9,4\"\\n' >ll.csv; "
		"\"$LEANRICH\" import --quiet --propose -o m.xml eq.csv mat.csv ll.csv 2>/dev/null; "
		"\"$LEANRICH\" import --map m.xml -o d.xml ll.csv mat.csv eq.csv; sed -n '/<absorber/,$p' d.xml");
	cr_expect_str_eq(run.output,
		"  <absorber tag=\"C-1\" name=\"Amine absorber\" design-pressure=\"70 barg\" material=\"carbon steel\" "
		"data=\"eq!A2:D2\">\n"
		"    <stated document=\"mat!A2:D2\" material=\"carbon steel\" design-pressure=\"68 barg\"/>\n"
		"    <part name=\"Top section\" material=\"316L\" data=\"mat!A3:C3\"/>\n"
		"  </absorber>\n"
		"  <pump tag=\"P-2 A/B\" service=\"rich\" installed=\"2\" name=\"Rich amine pump\" "
		"design-pressure=\"20 barg\" material=\"carbon steel\" "
		"data=\"eq!A3:D3\"/>\n"
		"  <line tag=\"L-1\" from=\"C-1\" to=\"P-2 A/B\" size=\"NPS 6\" data=\"ll!A2:D2\"/>\n"
		"  <line tag=\"L-2\" from=\"C-1\" size=\"NPS 4\" data=\"ll!A3:D3\">\n"
		"    <note document=\"ll!A3:D3\">to: X-9</note>\n"
		"  </line>\n"
		"</unit>\n",
		"%s%s", run.output, run.errors);
}

/* The next revision: a column moved, one is called otherwise, one is in another unit. The sheet is right, and it is said. */
Test(package, what_changed_since_the_map_was_made_is_said)
{
	struct run run = shell(&trial.arena,
		"cd $SCRATCH; printf 'Line No.,Size,Op. temp. (degC),Material\\nL-1,6\",45,CS\\n' >ll.csv; "
		"\"$LEANRICH\" import --quiet --propose -o m.xml ll.csv 2>/dev/null; "
		"printf 'Line No.,Op. temp. (degF),Size,MOC\\nL-1,113,6\",CS\\n' >ll.csv; "
		"\"$LEANRICH\" import --quiet --map m.xml -o d.xml ll.csv; grep -c 'temperature=\"113 degF\"' d.xml");
	cr_expect_str_eq(run.output, "1\n", "%s%s", run.output, run.errors);
	static const char *const said[] = {"ll!C1: Size stood at B when the map was made, and is at C",
		"no heading 'Material'", "the map does not know the heading 'MOC'",
		"degF in the sheet, where the map has degC"};
	for (size_t i = 0; i < COUNT(said); i++)
		cr_expect(strstr(run.errors, said[i]), "%s: %s", said[i], run.errors);
}

/* A map by hand: a case without a title, and a table whose units stand beside what it lists. */
Test(package, a_map_by_hand_may_leave_out_what_it_may)
{
	struct run run = shell(&trial.arena,
		"cd $SCRATCH; printf 'Parameter,Unit,Summer,Temp\\nLean feed,degC,51,48\\nFuel feed,-,12,13\\n' "
		">sum.csv; "
		"printf '<map xmlns=\"urn:leanrich:map:1\" number=\"1\" name=\"n\"><case id=\"summer\" "
		"written=\"Summer\"/><sheet name=\"sum\" lists=\"streams\" records=\"rows\"><column "
		"heading=\"Parameter\" field=\"tag\"/><column heading=\"Unit\" field=\"unit\"/><column "
		"heading=\"Temp\" field=\"temperature\" unit=\"degC\"/></sheet></map>' >m.xml; \"$LEANRICH\" import "
		"--map m.xml sum.csv; echo $?");
	cr_expect(strstr(run.output, "temperature=\"48 degC\""), "%s%s", run.output, run.errors);
	cr_expect(strstr(run.output, "<case id=\"summer\"/>"), "%s%s", run.output, run.errors);
}

Test(package, a_laboratory_history_is_that_of_the_solvent)
{
	struct run run = imported("tests/data/sheets/labor.csv",
		arena_format(&trial.arena, "%s%s%s", value_of("count(" NAMED("dated-analysis") ")"),
			value_of(NAMED("dated-analysis") "[2]/@date"),
			value_of(NAMED("dated-analysis") "[2]/@salts-as")));
	cr_expect_str_eq(run.output, "3\n2026-01-17\nMDEA\n", "%s%s", run.output, run.errors);
}

/* Whatever is guessed, the draft is a description that can be reviewed. */
Test(package, a_draft_of_several_sheets_is_reviewed)
{
	struct run run = imported("tests/data/sheets/petrel-lines.csv tests/data/sheets/strom.csv "
				  "tests/data/sheets/labor.csv tests/data/sheets/apparate.csv",
		"\"$LEANRICH\" review --json --no-samples d.xml >r.json; echo $?; grep -c '\"findings\"' r.json | head "
		"-1");
	cr_expect(strncmp(run.output, "1\n", 2) == 0 || strncmp(run.output, "0\n", 2) == 0, "%s%s", run.output,
		run.errors);
	cr_expect(!strstr(run.errors, "d.xml:"), "%s", run.errors);
}

/* A design basis of two absorbers, its values after a blank column, its gases by their names: each figure has its own place. */
Test(package, a_design_basis_says_whose_its_figures_are)
{
	static const char *const holds[] = {
		"<gas id=\"feed gas of K-71\" role=\"feed\" flow=\"45000 Nm3/h\" h2s=\"1.8 vol%\"",
		"<gas id=\"feed gas of K-72\" role=\"feed\" flow=\"8500 Nm3/h\" h2s=\"4.5 vol%\"",
		"<specification gas=\"treated gas of K-71\" h2s=\"50 ppmv\"",
		"<specification gas=\"treated gas of K-72\" h2s=\"80 mg/Nm3\"",
		"<solvent amine=\"MDEA\" activated=\"no\" strength=\"40 wt%\"",
		"antifoam=\"yes\" antifoam-continuous=\"no\"",
		"<operating-limit about=\"rich amine of K-71\" quantity=\"loading\" at-most=\"0.42 mol/mol\"",
		"reflux-ratio=\"1.4\"", "steam-pressure=\"3.5 barg\"", "<basis water-temperature=\"26 degC\"",
		"gas=\"feed gas of K-71\" treated=\"treated gas of K-71\"", "Erdgas zu K-72; Value: 12",
		"Parameter: davon zu K-72", "CO2 im Spaltgas"};
	struct run run = shell(&trial.arena,
		"cd $SCRATCH; printf 'Apparateliste,,\nTag,Benennung,Betriebsdruck\nK-71,HD-Absorber,62 "
		"barg\nK-72,ND-Absorber,5 barg\nK-73,Regenerator,1 barg\nW-71,Aufkocher,1 barg\n' >l.csv; printf "
		"'Auslegungsgrundlage,,,\nL\303\266sungsmittel,,MDEA (w\303\244ssrig); ohne "
		"Aktivator,\nKonzentration,,40,Gew.-%%\ndavon zu K-72,,9,m3/h\nKreislaufgas zu K-71,,45000,Nm3/h\nH2S "
		"im "
		"Kreislaufgas,,1.8,Vol.-%%\nCO2 im Spaltgas,,3,Vol.-%%\nH2S im Reingas K-71; max.,,50,ppmv\nHeizgas zu "
		"K-72,,8500,Nm3/h\nH2S im Heizgas,,4.5,Vol.-%%\nH2S im Reingas K-72; max.,,80,mg/Nm3\nBeladung reich; "
		"max. "
		"K-71,,0.42,mol/mol\nR\303\274cklaufverh\303\244ltnis,,1.4,mol/"
		"mol\nHeizdampf,,3.5,barg,ges\303\244ttigt; "
		"max. 150 C\nK\303\274hlwasser,,26,degC,R\303\274cklauf 36\nAntischaummittel,,Silikon; "
		"stossweise,\nErdgas zu "
		"K-72,,12,Nm3/h\n' >b.csv; \"$LEANRICH\" import --quiet --propose -o m.xml l.csv b.csv 2>/dev/null; "
		"\"$LEANRICH\" import --quiet --map m.xml l.csv b.csv");
	for (size_t i = 0; i < COUNT(holds); i++)
		cr_expect(strstr(run.output, holds[i]), "%s\n%s%s", holds[i], run.output, run.errors);
}

/* The second remark narrows too; a supply and a return in one cell give the supply; clause numbers are no figures. */
Test(package, remarks_of_a_design_basis_bound_and_narrow)
{
	struct run run = shell(&trial.arena,
		"cd $SCRATCH; printf 'Design basis,,,,\n1.1,Solvent,MDEA 45 wt%%,,\n1.2,Feed gas pressure,880 "
		"psig,,\n1.3,Rich loading,0.45 mol/mol,max,by licensor\n1.4,Cooling water supply / return,85 / 105 "
		"degF,,\n1.5,Feed gas flow,60 MMscfd,normal,per train\n1.6,Antifoam,keiner,,\n' >c.csv; \"$LEANRICH\" "
		"import --quiet --propose "
		"-o m.xml "
		"c.csv 2>/dev/null; \"$LEANRICH\" import --quiet --map m.xml c.csv");
	cr_expect(
		strstr(run.output, "at-most=\"0.45 mol/mol\"") && !strstr(run.output, " loading=\""), "%s", run.output);
	cr_expect(strstr(run.output, "water-temperature=\"85 degF\""), "%s", run.output);
	cr_expect(strstr(run.output, "85 / 105 degF"), "%s", run.output);
	cr_expect(!strstr(run.output, "flow=\"60 MMscfd\""), "%s", run.output);
	cr_expect(strstr(run.output, "antifoam=\"no\""), "%s", run.output);
}

/* A design basis of two cases with what holds for the whole unit, and a limit: one basis, and a draft that is reviewed. */
Test(package, a_draft_of_a_design_basis_is_reviewed)
{
	struct run run = shell(&trial.arena,
		"cd $SCRATCH; printf 'Parameter,Unit,Existing,Revamp\\nFeed gas flow,MMscfd,80,95\\nFeed gas "
		"pressure,barg,68,68\\nBarometric pressure,bara,1.01,1.01\\nAmine strength,wt%%,40,45\\nHeat stable "
		"salts; "
		"max,wt%%,2,1.5\\nRich loading; max,mol/mol,0.4,0.45\\n' >b.csv; \"$LEANRICH\" import --quiet "
		"--propose -o m.xml b.csv "
		"2>/dev/null; \"$LEANRICH\" import --quiet --map m.xml -o d.xml b.csv 2>/dev/null; grep -c '<basis' "
		"d.xml; grep -c "
		"'<operating-limit' d.xml; \"$LEANRICH\" review --quiet d.xml >/dev/null; echo $?; grep -o "
		"'<gas.*flow=\"[0-9]*' "
		"d.xml; grep -o 'in case=\"[a-z]*\" flow=\"[0-9]*' d.xml");
	cr_expect_str_eq(run.output,
		"1\n4\n0\n<gas id=\"feed gas\" role=\"feed\" flow=\"95\nin case=\"existing\" flow=\"80\n", "%s%s",
		run.output, run.errors);
}

/* A case that is named once, in a merged cell or the first row of a block, is that of the rows below it. */
Test(package, a_case_named_once_holds_for_the_rows_below)
{
	struct run run = shell(&trial.arena,
		"cd $SCRATCH; printf 'Case,Stream,Description,Temp. (degC)\\nNormal,1,Rich amine,60\\n,2,Lean "
		"amine,45\\nSummer,1,Rich amine,66\\n"
		",2,Lean amine,52\\n' >s.csv; \"$LEANRICH\" import --quiet --propose -o m.xml s.csv 2>/dev/null; "
		"\"$LEANRICH\" import --quiet --map m.xml s.csv 2>/dev/null | grep '<in\\|<stream'");
	cr_expect_str_eq(run.output,
		"  <stream id=\"1\" service=\"rich\" temperature=\"60 degC\" data=\"s!A2:D2\">\n    <in "
		"case=\"summer\" temperature=\"66 degC\"/>\n"
		"  <stream id=\"2\" service=\"lean\" temperature=\"45 degC\" data=\"s!B3:D3\">\n    <in "
		"case=\"summer\" temperature=\"52 degC\"/>\n",
		"%s%s", run.output, run.errors);
}

/* What could be read in two ways is left or marked, never guessed: each row has the value that the draft must not hold. */
Test(package, what_can_be_read_two_ways_is_not_guessed)
{
	static const struct {
		const char *sheet, *not, *said;
	} rows[] = {
		{"Line No.;Size;Op. temp. (degC)\nL-1;6\";12.400\nL-2;6\";9.500\n", "temperature=\"12.4",
			"kept as a note"},
		{"Line No.,Size,Max. temp. (degC)\nL-1,NPS 6,150\n", "temperature=\"150", "become notes"},
		{"Tag;Description;Werkstoff;;Year\n;;Mantel;Rohre;\nE-1;Lean/rich exchanger;CS;1.4404;1998\n",
			"tubes=", NULL},
		{"Stream,Description,Norm volume flow (m3/h)\n1,Sour gas,3000\n2,Sweet gas,2900\n", "flow=\"3000",
			"conditions"},
		{"Line No.,Size,Op. press. (bar)\nL-1,NPS 6,12\n", "pressure=\"12 bar\"", "bar?"},
		{"Date,Fe (ppmw),pH\n03/04/2026,5,10\n", "date=\"2026-", "cannot be told apart"},
		{"Date,Fe (ppmw),pH\n03/04/2026,5,10\n02/01/2026,5,10\n05/02/2026,6,10\n01/03/2026,6,10\n",
			"date=\"2026-", "cannot be told apart"}, /* in order by neither reading */
		{"Tag,Description,C.A. (mm)\nV-1,Flash drum,1/16\n", "corrosion-allowance=", "kept as a note"},
		{"Tag,Description,Dia. (in)\nC-1,Amine absorber,60 / 48\n", "diameter=", "kept as a note"},
		{"Tag,Description,Op. temp. (degC)\nV-1,Flash drum,HOLD 5\n", "temperature=\"5", "stated later"},
		{"Line No.;Size;Medium\nL-1;6\";Sauergas zum Absorber\n", "service=\"acid gas", NULL},
		{"Stream,Description,H2S (vol%),CO2 (vol%)\n4,Vapour of the regenerator,30,5\n",
			"h2s-content=", "do not sum up"},
		{"Tag,Description,Material\nE-9,Kondensator Regenerator,CS\n", "<regenerator", NULL},
		/* three pairs and nothing that says which is which */
		{",,Zone A,,Zone B,\nLine No.,Size,P psig,T degF,P psig,T degF\nL-1,NPS 8,100,145,110,160\n",
			"pressure=\"1", "which is which"},
		/* a solution with more in it than amine and water, and one whose list ends early */
		{"Stream,Description,MDEA (mol%),PZ (mol%),H2O (mol%),CO2 (mol%)\n1,Lean solvent,10.6,1.8,87.4,0.2\n",
			"strength=", "are not all"},
		{"Stream,Description,Phase,Sp. gr.\n1,Lean amine,L,1.04\n", "density=\"1.04", NULL},
		/* of the shell and the tubes, in an order that nobody says; where not all of it is meant */
		{"Tag,Description,Design press. (barg)\nE-1,Lean/rich exchanger,16/10\n",
			"design-pressure=", "of the two"},
		{"Line No.,Size,PWHT\nL-1,NPS 8,yes (shop welds only)\n", "pwht=\"yes", "neither yes nor no"},
		/* notes below a list are no lines, and a position is no tag */
		{"Line No.,Size,PWHT\nL-1,NPS 8,yes (note 2)\n2. Heat traced,,\n", "tag=\"2.", NULL},
		{"Item No.,V-310\nService,Rich flash drum\nPosition,Horizontal\nDesign pressure (psig),150\n",
			"tag=\"Horizontal", NULL},
		/* flows of some components say nothing of the whole */
		{"Stream,Description,H2S (lbmol/h),CO2 (lbmol/h)\n1,Sour gas,50,25\n", "mol%", "does not follow"},
		{"Stream,Description,Mass flow (kg/h),H2S (kmol/h),CO2 (kmol/h)\n1,Sour gas,20000,40,20\n", "mol%",
			"does not follow"},
		{",,Normal,Normal,Max\nStream,Description,Gas flow (MMscfd),H2S (lbmol/h),H2S (lbmol/h)\n"
		 "1,Sour gas,10,109.8,120\n",
			"10.929", "does not follow"}, /* the whole of another case */
		{"Stream,Description,H2S (lbmol/h),CO2 (lbmol/h)\n1,Reflux,3,1\n", "wt%", "does not follow"},
		{"Stream,Description,Gas flow (MMscfd),Molar flow (lbmol/h),H2S (lbmol/h)\n1,Sour gas,10,500,50\n",
			"mol%", "does not follow"},
		/* what holds no more, a balance, a stream of no known phase, another solution than the lean */
		{"Line No.,Size,Op. temp. (degC),Remarks\nL-1,NPS 6,80,\"Deleted, see L-2\"\nL-2,NPS 8,90,\n",
			"tag=\"L-1\"", "holds no more"},
		{"Tag,Case,Description,Op. temp. (degC)\nV-1,Normal,Flash drum,80\nV-2,Normal,Void,90\n,Max,,140\n",
			"temperature=\"140", "holds no more"},
		{"Stream,Description,Flow (kg/h)\n1,Lean amine,100\nBalance (1-2),,0\n", "Balance", "a balance"},
		{"Stream,Description,\"CO2, mol% gas, mol/mol amine\"\n1,Blend of the day,0.4\n2,Lean amine,0.02\n",
			"co2=\"0.4", NULL},
		{"Test,Unit,2024-02-03,2024-04-05\nLEAN,,,\nIron,ppmw,4,5\nChloride,ppmw,100,120\nRICH,,,\n"
		 "Iron,ppmw,9,11\n",
			"iron=\"9", "of the rich solution"},
		{"Tag,Description,TS (degC)\nE-1,Lean/rich exchanger,150\n", " temperature=\"150", NULL},
		/* a sheet without a table, and a figure beside one */
		{"Weather,of the site\nhot,41\n", "=\"41", "kept as a note"},
		/* a total below the last item, a balance in the column of names, ends cut at a tag's own stroke */
		{"Tag,Service,Duty (kW)\nE-1,Reflux condenser,700\n,Cooling total,1500\n", "1500", "a sum"},
		{"No.,Stream,Flow kg/h\n1,Lean amine,900\n,\"Absorber: in - out, normal\",0\n", "flow=\"0",
			"a balance"},
		{"Line No.,From / To,Size\n\"4\"\"-P-1-B\",P-7A/B - T-7,NPS 4\n", "B - T-7", "P-7A/B to T-7"},
		{"Tag,Service,Duty (kW)\nE-1,Lean cooler,700\n,Heat in E-2 / steam,1500\n", "duty=\"1500", "no tag"},
		{"Tag,Service,Flow kg/h\nFV-7,Lean amine,900\nLV-8,Rich amine,950\n", "tag=\"FV-7", NULL}, /* valves */
		/* letters for the solution that was sampled */
		{"Date,Smp,MDEA (wt%),Fe (ppmw)\n2025-01-21,L,45,3\n,,,\n2025-04-22,L,46,4\n2025-04-22,R,44,9\n",
			"iron=\"9", "a sample of a stream"},
		/* the nozzles of a vessel are no lines */
		{"Tag,Description,ID mm\nV-7,Flash drum,900\n\nV-7 NOZZLES,,\nMk,Service,NPS\nN1,Gas "
		 "out,2\nN2,Feed,3\n",
			"<line", NULL},
		/* metals by service below a list of valves */
		{"SV-Nr.;Apparat;Ansprechdruck bar(ü);Fall\nSV-7;K-7;9;Brand\n\nWerkstoffe allgemein\n"
		 "Bereich;Werkstoff;Grenze;Hinweis\nReich;1.4571;> 80 °C;keine\n",
			"set-pressure=\"80", NULL},
		{"Tag,Service,H m\nV-8,Flash drum,4\n", "rated-head=", NULL},
		/* what is wrapped around a pipe is not its wall */
		{"Line No.,From,To,INSULATION,,P&ID\n,,,TYPE,THK in,\nL-1,V-1,V-2,HC,2,7\n", "wall-thickness=", NULL},
		{"Line No.,Size,INSULATION,\n,,TYPE,THK mm\nL-1,6\",HC,50\n", "wall-thickness=", NULL},
		/* the inlet, which the outlet beside it tells, is not the operating temperature */
		{"Tag,Service,SHELL SIDE,,TUBE SIDE,\n,,Temp. in degF,Temp. out degF,Temp. in degF,Temp. out degF\n"
		 "E-7,Lean/rich exchanger,246,188,141,203\n",
			" temperature=\"141", NULL},
		/* highest allowed, and no side: in German plainly, otherwise only beside no shell side */
		{"Tag;Service;zul. Druck PS barg;zul. Temp. TS degC\nE-7;Reboiler;9;140\n", "<tube-side", NULL},
		{"Tag;Service;Design temp. TS degC\nE-7;Reboiler;140\n", "design-temperature=", "kept as notes"},
		/* of a pressure and a temperature the pressure is no temperature, however high it is */
		{"Tag,Service,TUBE SIDE,\n,,Design psig / degF,Mat'l\nE-7,Lean/rich exchanger,1100 / 210,CS\n",
			"design-temperature=\"1100", "1100 psig, 210 degF"},
		/* the revision that says it stands first */
		{"Line No.,Size,Op. temp. (degC),Remarks\nL-1,NPS 6,80,Rev. 3 deleted\nL-2,NPS 8,90,\n", "tag=\"L-1\"",
			"holds no more"},
		{"Line No.;Size;Op. temp. (degC);Remarks\nL-1;NPS 6;80;Index C: entfällt\nL-2;NPS 8;90;\n",
			"tag=\"L-1\"", "holds no more"},
		/* the case that is called "Design" beside others is not what an exchanger is rated for */
		{"Tag,Service,\"Duty, kW\",,\n,,Design,Turndown,Winter\nE-7,Overhead condenser,900,400,820\n",
			"rated-duty=", NULL},
		/* points where lines meet are none of them */
		{"TIE-IN LIST,,,\nTP no.,Service,Size,Pressure barg\nTP-01,Feed gas,NPS 8,40\nTP-02,Steam,NPS 4,4\n",
			"<line", NULL},
		/* clad, and with what is not understood: not bare */
		{"Tag;Description;Werkstoff\nC-7;Regenerator;P265GH, plattiert ab dem Sumpf\n", "material=\"carbon",
			"is not understood"},
		/* a gauge that no table has is no thickness */
		{"Item,Service,Tube OD (in),BWG\nE-7,Lean/rich exchanger,0.75,31\n", "tube-wall=", "no gauge"},
		{"Item,Service,Tubes,\n,,No.,O.D. x BWG\nE-7,Lean/rich exchanger,612,\"1\"\" x 31\"\n",
			"tube-wall=\"31", NULL},
		/* two strengths, of which one has a unit and no stroke between them */
		{"MDEA 38 kg in 5 wt% DEA,\nTag,Description,Design press. (barg)\nV-2,Flash drum,7\n", "strength=\"38",
			NULL},
		/* a coefficient that was calculated, and one that may be: not that of the trim */
		{"Tag,Description,Design press. (barg)\nV-2,Flash drum,7\n\nCONTROL VALVES,,,\nTag,Service,P1 barg,P2 "
		 "barg,Cv,Fail\n"
		 "LV-7,Flash drum level,6,3,180,FC\nFV-8,Flash drum gas,6,5,40,FO\n",
			"cv=", "kept as notes"},
		/* a valve at one of two flash drums */
		{"Tag,Description,Design press. (barg)\nV-2,Flash drum,7\nV-3,Flash drum,7\n\nCONTROL "
		 "VALVES,,,\nTag,Service,P1 barg,P2 "
		 "barg,Fail\n"
		 "LV-7,Flash drum level,6,3,FC\nLV-8,Flash drum level,6,5,FO\n",
			"<valve", "is not described"},
		/* the density at a reference temperature is not that of what flows */
		{"Stream,1\nName,Lean amine\n\"Density (20 degC), kg/m3\",1031\n", "density=", NULL},
		/* nozzles under titles that name two vessels */
		{"Tag,Description\nC-7,Absorber\nC-8,Regenerator\n\nNozzle list,C-7,C-8,\nMk.,Qty,Service,Size\n"
		 "N1,1,Gas in,NPS 8\nN2,1,Gas out,NPS 8\n",
			"<nozzle", NULL},
		/* called by a name of two meanings */
		{"Stream,Description,Temp. (degC)\n1,Sauergas,40\n2,Lean amine,45\n", "role=", NULL},
		{"Gas plant,MDEA 45 wt% or DEA 30 wt%\nStream,Description,Temp. (degC)\n1,Lean amine,40\n",
			"strength=", NULL},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *said, *draft = drafted(&trial.arena, rows[i].sheet, &said);
		cr_expect(!strstr(draft, rows[i].not ), "%zu: %s", i, draft);
		cr_expect(!rows[i].said || strstr(said, rows[i].said), "%zu: %s%s", i, draft, said);
	}
}

/* Kinds of sheets that packages have: each row has what the draft must hold, and what it must not. */
Test(package, sheets_of_many_kinds_arrive)
{
	static const struct {
		const char *sheet, *holds, *not ;
	} rows[] = {
		/* one result a row, below the limit, not measured, in another language */
		{"Sample ID,Date,Location,Analyte,Result,Units\nS1,2020-01-14,Lean,Chloride,<50,ppmw\n"
		 "S1,2020-01-14,Lean,Formate,850,ppmw\nS1,2020-01-14,Lean,Iron,n.a.,ppmw\n",
			"chloride=\"&lt;50 ppmw\"", "iron="},
		{"Fecha;Punto de muestreo;Ensayo;Resultado;Unidad\n2022-05-03;Amina pobre;Hierro;4,2;mg/l\n"
		 "2022-05-03;Amina pobre;Altura de espuma;40;ml\n",
			"iron=\"4.2 mg/L\"", "height="},
		/* numbers of streams without a heading, a total, dashes */
		{",,,Stream Number,\n,,1,2,3\nDescription,,Feed gas,Lean amine,Rich "
		 "amine\nTemperature,degF,95,120,140\n"
		 "Pressure,psig,900,950,905\nTotal,lb/h,201550,340100,351300\n",
			"<stream id=\"2\" service=\"lean\" temperature=\"120 degF\" pressure=\"950 psig\" "
			"flow=\"340100 lb/h\"",
			"flow=\"120"},
		/* groups over conditions alone; the largest is a case; material beside them stays */
		{",,Operating (Normal),,Operating (Max),,Design,,\nLine No.,NPS / Sch,P psig,T degF,P psig,T degF,P "
		 "psig,T degF,Mat'l\nL-1,8 / 40,100,145,110,160,150,250,A106-B\n",
			"size=\"NPS 8\" schedule=\"40\" pressure=\"100 psig\" temperature=\"145 degF\" "
			"design-pressure=\"150 psig\" design-temperature=\"250 degF\" material=\"carbon steel\"",
			"<stated"},
		{",,Operating (Normal),,Operating (Max),,Design,,\nLine No.,NPS / Sch,P psig,T degF,P psig,T degF,P "
		 "psig,T degF,Mat'l\nL-1,8 / 40,100,145,110,160,150,250,A106-B\n",
			"<in case=\"max\" pressure=\"110 psig\" temperature=\"160 degF\"", "operating-max"},
		{"Corriente;Descripci\u00f3n;Temperatura (\u00b0C);;\n;;Normal;M\u00e1x.;M\u00edn.\n1;Amina "
		 "pobre;43;47;35\n",
			"<in case=\"min\" temperature=\"35 degC\"", "Temperatura"},
		/* units where the second heading would be */
		{"TAG,SERVICE,DESIGN,,OPER.,\n,,PSIG,degF,PSIG,degF\nV-1,REFLUX ACCUMULATOR,75,250,11,120\n",
			"design-pressure=\"75 psig\" design-temperature=\"250 degF\" pressure=\"11 psig\" "
			"temperature=\"120 degF\"",
			"note>"},
		{"Item,Description,Design\n,,psig / degF\nV-1,Flash drum,150 / 300\n",
			"design-pressure=\"150 psig\" design-temperature=\"300 degF\"", "\"300 psig\""},
		/* a diameter and a length, vacuum, how it stands, what it is called beside its tag */
		{"Pos.-Nr.;Benennung;Abmessungen \u00d8 x L [mm];Auslegungsdruck [bar(\u00fc)];Lage\n"
		 "B-2;Entspanner;1.700 x 5.200;3,5/-1;liegend\nB-3;R\u00fccklaufbeh\u00e4lter;900 x "
		 "2.400;3,5;liegend\n",
			"diameter=\"1700 mm\" length=\"5200 mm\" design-pressure=\"3.5 barg\" vacuum-design=\"yes\" "
			"orientation=\"horizontal\"",
			NULL},
		{"Equipment,Component,Base material,CA (mm)\nC-201 Absorber,Shell,SA-516 Gr.70,3\n",
			"<absorber tag=\"C-201\" name=\"Absorber\" material=\"carbon steel\"", NULL},
		{"Tag,Description,T-T,C.A.\nV-1,Flash drum,\"18'-6\"\"\",.125\"\n", "length=\"222 in\"", NULL},
		{"Pump,Service,Casing / impeller,P suct. (barg),No. off (op+sp)\nP-1,Lean amine pump,CS / "
		 "12Cr,1.2,1+1\n",
			"casing=\"carbon steel\" impeller=\"410\" suction-pressure=\"1.2 barg\" installed=\"2\" "
			"in-use=\"1\"",
			NULL},
		/* the solvent of a title; a gas by its phase; a vessel by its nozzles */
		{"Aminw\u00e4sche;MDEA 45 Gew.-%\nStrom;Bezeichnung;Temp. (\u00b0C)\n1;Magerl\u00f6sung;40\n",
			"<solvent amine=\"MDEA\" strength=\"45 wt%\"", NULL},
		{"Stream,Description,Phase,Temp. (degC)\n9,Off-gas to incinerator,vapour,40\n", "<gas id=\"9\"",
			"<stream"},
		{"Vessel,Nozzle,Size,Rating,Service\nX-201,N1,\"10\"\"\",600# RF,Gas inlet\n", "<vessel tag=\"X-201\"",
			NULL},
		/* the whole in another unit: 10 MMscfd are 1098 lbmol/h, of 379.5 ft3 at 60 degF and 1 atm */
		{"Stream,Description,Gas flow (MMscfd),H2S (lbmol/h)\n1,Sour gas,10,109.8\n", "h2s=\"10 mol%\"", NULL},
		/* a row for each case, letters in a legend, a number and a name in one cell */
		{"\"W = winter (normal), S = summer max (110 %)\"\nStream,Case,T (degC),P (barg)\n4 Rich "
		 "amine,W,50,5\n,S,60,6\n7 Acid gas,W,40,0.7\n,S,45,0.8\n",
			"<in case=\"summer-max\" temperature=\"60 degC\" pressure=\"6 barg\"", "id=\"4 Rich"},
		/* what a case is given and cannot be read is owed there; a range */
		{"Stream,Case,T (degC),P (barg)\n4 Rich amine,Normal,50,5\n,Summer,see note,5...7\n",
			"<in case=\"summer\" temperature=\"t.b.d.\" pressure=\"7 barg\"", NULL},
		/* codes by the legend of the sheet */
		{"Line No.,Size,Insul.\nL-1,NPS 6,Q\nL-2,NPS 8,Z\n\"Q = hot insulation, Z = none\",,\n",
			"<line tag=\"L-1\" size=\"NPS 6\" insulated=\"yes\"", "\"L-2\" size=\"NPS 8\" data"},
		/* what is not there of a line, which itself is */
		{"Leitung;DN;PWHT;Begleitheizung\nL-1;100;ja;entf\u00e4llt\n", "tag=\"L-1\"", NULL},
		/* numbers and names of streams one above the other */
		{"Stream No.,,201,202\n,,Lean amine to C-1,Rich amine ex C-1\nTemperature,degC,40,60\n"
		 "Pressure,barg,70,65\n",
			"<stream id=\"202\" service=\"rich\" temperature=\"60 degC\"", "id=\"Rich"},
		/* a unit for gases and one for solutions */
		{"Strom-Nr.;Bezeichnung;Temp. (\u00b0C);CO2\n;;;Gas: Mol-% / L\u00f6sung: mol/mol\n1;Rohgas;40;8,0\n"
		 "2;Arme L\u00f6sung;45;0,05\n",
			"co2=\"0.05 mol/mol\"", "0 mol/mol"},
		/* the same without words for which is which; the unit of each row beside its figure */
		{"Strom;Bezeichnung;Menge;;CO2\n;;kg/h;Nm³/h bzw. m³/h;Mol-% / mol/mol\n7;Rohgas;900;800;7,5\n"
		 "8;Reichlösung;9.100;8,9;0,41\n",
			"co2=\"0.41 mol/mol\"", "8.9 Nm3/h"},
		{"Stream table,,\nNo.,Stream,Flow kg/h,Temp °C,Press. barg,H2S / AG loading,unit\n7,Sour "
		 "gas,90,35,9,6,mol %\n8,Rich "
		 "amine,95,60,9,0.41,mol/mol\n",
			"loading=\"0.41 mol/mol\"", "h2s=\"6\""},
		{"Stream table,,\nNo.,Stream,Flow kg/h,Temp °C,Press. barg,H2S / AG loading,unit\n7,Sour "
		 "gas,90,35,9,6,mol %\n8,Rich "
		 "amine,95,60,9,0.41,mol/mol\n",
			"role=\"feed\" flow=\"90 kg/h\" temperature=\"35 degC\" pressure=\"9 barg\" h2s=\"6 mol%\"",
			NULL},
		/* nozzles below a title with the vessel's tag; height or length, whichever the vessel has */
		{"Tag,Description,Height/length mm\nV-7,Flash drum,2900\n\nV-7 NOZZLES,,\nMk,Service,NPS\nN1,Gas "
		 "out,2\n"
		 "N2,Feed,3\n",
			"<nozzle tag=\"V-7 N1\"", "<line"},
		{"Tag,Description,Height/length mm\nV-7,Flash drum,2900\n", "length=\"2900 mm\"", "height="},
		/* a second column headed as tags are: what a valve protects */
		{"Pos.;Benennung;PS bar(ü)\nK-7;Absorber;9\n\nSV-Nr.;Apparat;Ansprechdruck "
		 "bar(ü);Fall\nSV-7;K-7;9;Brand\n",
			"<relief-valve tag=\"SV-7\" set-pressure=\"9 barg\"", NULL},
		{"Tag,Service,Diameter mm\nV-7,Flash drum,900\n\nPSV,Protects,Set psig,Orifice\nPSV-7,V-7,75,N (was "
		 "M)\n",
			"orifice=\"N\"", NULL},
		{"Pump,Service,gpm,H m,Motor kW\nP-7A/B,Lean amine,300,120,90\n",
			"flow=\"300 gpm\" rated-head=\"120 m\"", NULL},
		/* dates over the results, a block for each solution */
		{"Test,Unit,2024-02-03,2024-04-05\nLEAN,,,\nIron,ppmw,4,5\nChloride,ppmw,100,120\n",
			"date=\"2024-04-05\" iron=\"5 ppmw\" chloride=\"120 ppmw\"", NULL},
		/* tags under a heading that nobody knows; how classes of piping look */
		{"Ref. XY;Fluide;De;Vers;DN;Classe\nAP-01;Amine pauvre;P-1;C-1;100;B3A\nAR-02;Amine "
		 "riche;C-1;V-1;150;B3A\n",
			"<line tag=\"AP-01\" service=\"lean\" size=\"NPS 4\" piping-class=\"B3A\"", "flange-class"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *said, *draft = drafted(&trial.arena, rows[i].sheet, &said);
		cr_expect(strstr(draft, rows[i].holds), "%zu: %s\n%s%s", i, rows[i].holds, draft, said);
		cr_expect(!rows[i].not || !strstr(draft, rows[i].not ), "%zu: %s\n%s", i, rows[i].not, draft);
	}
}

/* What the glossary reads of a remark is stated, what is in doubt is said, and the remark stays a note. */
Test(package, remarks_become_values_where_they_say_them_plainly)
{
	struct run run = shell(&trial.arena,
		"cd $SCRATCH; printf 'Line No.,Size,PWHT,Remarks\\nL-1,6\",N,PWHT; dual plate check valve; traced?; "
		"spare\\n"
		"L-2,4\",Y,not traced; weld repair 2019 without PWHT\\n' >ll.csv; "
		"\"$LEANRICH\" import --quiet --propose -o m.xml ll.csv 2>/dev/null; "
		"\"$LEANRICH\" import --map m.xml -o d.xml ll.csv; grep -oE "
		"'(pwht|traced|type|work|date)=\"[^\"]*\"|<(check-valve|stated|repair|line)' "
		"d.xml | tr '\\n' ' '; grep -c '<note' d.xml");
	cr_expect_str_eq(run.output,
		"<line pwht=\"no\" <stated pwht=\"yes\" <check-valve type=\"dual plate check\" <line pwht=\"yes\" "
		"traced=\"no\" <repair "
		"work=\"weld repair\" date=\"2019\" pwht=\"no\" 2\n",
		"%s%s", run.output, run.errors);
	cr_expect(strstr(run.errors,
			  "ll!D2: Remarks: \"PWHT; dual plate check valve; traced?; spare\" is kept as a note; read as "
			  "pwht yes "
			  "('PWHT'), check-valve type dual plate check ('dual plate check valve'); in doubt, and not "
			  "taken: traced "
			  "('traced': '?' stands beside it); not read: traced?; spare"),
		"%s", run.errors);
}

/* What a sheet says in the ways of sheets: each row has what the draft must hold. */
Test(package, what_people_write_into_cells_is_read)
{
	static const struct {
		const char *sheet, *holds;
	} rows[] = {
		{"Tag,Description,C.A. (in)\nV-1,Flash drum,1/16\n", "corrosion-allowance=\"0.0625 in\""},
		{"Tag,Description,Shell Mat'l\nV-1,Flash drum,\"CS, normalised\"\n", "material=\"carbon steel\""},
		{"Line No.,Size,Material,Insul.\nL-1,6\",CS,PP\nL-2,4\",do.,50 mm\n",
			"tag=\"L-2\" size=\"NPS 4\" material=\"carbon steel\" insulated=\"yes\""},
		{"Date,Fe (ppmw),pH\n07/01/2026,5,10\n04/02/2026,5,10\n04/03/2026,6,10\n01/04/2026,6,10\n",
			"date=\"2026-04-01\""},
		{"Date,Fe (ppmw),pH\n01/07/2026,5,10\n02/04/2026,5,10\n03/04/2026,6,10\n04/01/2026,6,10\n",
			"date=\"2026-02-04\""},
		{"Stream,Description,H2S (vol%),C4+ (vol%)\n1,Sour gas,< 4,0.7\n", "h2s=\"&lt;4 vol%\""},
		{"Stream,Description,H2S (vol%),C4+ (vol%)\n1,Sour gas,< 4,0.7\n", "C4+ (vol%): 0.7"},
		{"Tag,Description,Material\nE-9,Kondensator Regenerator,CS\n", "<condenser tag=\"E-9\""},
		/* abbreviations of German lists */
		{"Ltg.-Nr.;DN;Rohrkl.;Medium;von;nach;Prüfdr.;w\n;;;;;;bar(ü);m/s\nL-1;150;C3;Amin "
		 "bel.;K-1;B-2;17,2;1,4\n",
			"size=\"NPS 6\" piping-class=\"C3\" service=\"rich\" test-pressure=\"17.2 barg\" "
			"velocity=\"1.4 "
			"m/s\""},
		{"Pos.-Nr.;Benennung;L zyl. mm;Inhalt m³;zul. Druck bar(ü);Werkst. Einb./Rohre\n"
		 "B-7;Aminlagertank;4200;9,5;-1/3,5;1.4541\n",
			"volume=\"9.5 m3\" design-pressure=\"3.5 barg\" vacuum-design=\"yes\""},
		{"Pos.-Nr.;Benennung;Werkst. Mantel;Werkst. "
		 "Einb./Rohre\nK-7;Absorber;P265GH;1.4541\nW-7;Reboiler;P265GH;1.4404\n",
			"<internals material=\"321\""},
		{"Pos.-Nr.;Benennung;Werkst. Mantel;Werkst. "
		 "Einb./Rohre\nK-7;Absorber;P265GH;1.4541\nW-7;Reboiler;P265GH;1.4404\n",
			"<tube-side material=\"316L\""},
		{"Pos.-Nr.;Benennung;Förderhöhe mFS;Fördertemp. °C;GLRD Plan\nP-7;Lösungspumpe;112;43;53B\n",
			"rated-head=\"112 m\" temperature=\"43 degC\" seal-plan=\"53B\""},
		{"Datum;MDEA;H2S-Bel.;CO2-Bel.;Wärmestab. Salze\n;Gew.-%;mol/mol;mol/mol;Gew.-% als MDEA\n"
		 "08.03.2021;44,6;0,006;0,004;1,10\n12.04.2021;45,3;0,008;0,004;1,35\n",
			"strength=\"45.3 wt%\" h2s=\"0.008 mol/mol\" co2=\"0.004 mol/mol\" salts=\"1.35 wt%\" "
			"salts-as=\"MDEA\""},
		{"Strom;Bezeichnung;Normvol.\n;;Nm³/h\n1;Rohgas;433\n2;Regenerierte Lösung;-\n", "flow=\"433 Nm3/h\""},
		{"Strom;Bezeichnung;Normvol.\n;;Nm³/h\n1;Rohgas;433\n2;Regenerierte Lösung;-\n",
			"<stream id=\"2\" service=\"lean\""},
		/* the number of a line in parts; none is no insulation; governing cases in short */
		/* walls of tubes by gauge: Kern, Process Heat Transfer, 1950, Table 10, from memory: 14 BWG is 0.083 in */
		{"Item,Service,Tubes,\n,,No.,O.D. x BWG\nE-7,Lean/rich exchanger,612,\"3/4\"\" x 14\"\n",
			"tubes=\"612\" tube-od=\"0.75 in\" tube-wall=\"0.083 in\""},
		{"Item,Service,Tube OD (in),BWG\nE-7,Lean/rich exchanger,0.75,16\n", "tube-wall=\"0.065 in\""},
		/* cards whose units stand under the date, without a heading */
		{"Date,2024-03-14,,\n,,Lean solvent SP-1,Rich solvent SP-2\nMDEA,wt%,38.4,37.7\nChloride,mg/l,9,\n"
		 "Iron (total),mg/l,3.1,12\n\nDate,2024-07-02,,\n,,Lean solvent SP-1,Rich solvent "
		 "SP-2\nMDEA,wt%,39.1,38\n"
		 "Chloride,mg/l,11,\nIron (total),mg/l,4,14\n",
			"date=\"2024-07-02\" strength=\"39.1 wt%\" chloride=\"11 mg/L\" iron=\"4 mg/L\""},
		{"Solvent: activated MDEA (MDEA 38 / PZ 5 wt%),\nTag,Description,Design press. (barg)\nV-2,Flash "
		 "drum,7\n",
			"strength=\"38 wt%\" piperazine=\"5 wt%\""},
		{"Tag;Benennung;Betr.-Druck bar(ü)\nB-7;Aminlagertank;drucklos\n", "pressure=\"0 barg\""},
		/* the number of a line in parts */
		{"LINE NUMBER,,,FROM,TO,INSUL.\nSIZE in,SERV,SEQ,,,\n10,RA,4001,T-1,V-2,none\n6,RA,4002,V-2,E-3,HC\n",
			"<line tag=\"10&quot;-RA-4001\" size=\"NPS 10\" service=\"rich\" insulated=\"no\""},
		/* control valves: in the line that goes there, else at the one item that their service names */
		{"Line No.,From,To,Size\nL-1,T-1,LV-7,NPS 6\nL-2,LV-7,V-2,NPS 8\n\nCONTROL VALVES,,,,,,,\n"
		 "Tag,Service,Flow kg/h,,P1 barg,P2 barg,Cv,,Fail,Trim\n,,Des,TD,,,calc,sel.,,\n"
		 "LV-7,Rich letdown,9000,4000,66,6,78,250,FC,316 hardened\nFV-8,Anything,8000,3000,7,6,50,90,FO,316\n",
			"<valve tag=\"LV-7\" flow=\"9000 kg/h\" upstream-pressure=\"66 barg\" downstream-pressure=\"6 "
			"barg\" "
			"cv=\"250 Cv\" fails=\"closed\" trim=\"316\""},
		{"Tag,Description,Design press. (barg)\nV-2,Flash drum,7\n\nCONTROL VALVES,,,\nTag,Service,P1 barg,P2 "
		 "barg,Kvs,Fail\n"
		 "LV-7,Flash drum level,6,3,180,FC\nFV-8,Lean amine,9,8,40,FO\n",
			"cv=\"180 Kv\" fails=\"closed\""},
		/* how gas is counted is said in brackets; a loading of the solvent; a merged group over a length */
		{"Stream,1,2\nName,Feed gas,Lean solvent\n\"Norm. vol. flow (0 degC, 1 atm), Nm3/h\",433,-\n"
		 "\"Solvent CO2 loading, mol/mol\",,0.025\n",
			"flow=\"433 Nm3/h\""},
		{"Stream,1,2\nName,Feed gas,Lean solvent\n\"Norm. vol. flow (0 degC, 1 atm), Nm3/h\",433,-\n"
		 "\"Solvent CO2 loading, mol/mol\",,0.025\n",
			"co2=\"0.025 mol/mol\""},
		{"Tag,Description,Einbauten / Bemerkungen\nTK-1,Aminlagertank,\"N2-Überlagerung, 20 mbar\"\n",
			"blanket=\"nitrogen\""},
		{"Line No.,Size,INSUL.\nL-1,NPS 6,none\nL-2,NPS 6,HC\n", "insulated=\"no\""},
		{"Tag,Description,Design press. (barg)\nT-1,Amine absorber,70\n\n"
		 "Tag,Protected equip.,Set barg,Gov. case,Rel. load\nPSV-1,T-1,70,blocked outlet,12400 kg/h\n",
			"sized-for=\"blocked outlet\" required=\"12400 kg/h\""},
		{"Tag,Service,\"Duty, kW\",,\n,,Des,TD,Win\nE-7,Overhead condenser,900,400,820\n",
			"<in case=\"turndown\" duty=\"400 kW\"/>"},
		{"Tag,Service,TUBE SIDE,\n,,Design psig / degF,Mat'l\nE-7,Lean/rich exchanger,45/FV / 290,CS\n",
			"<tube-side design-pressure=\"45 psig\" design-temperature=\"290 degF\" vacuum-design=\"yes\""},
		{"Stream;Description;H2S (mol%);CO2 (mol%);N2 (mol%)\n1;Sauergas;71;20;9\n", "role=\"acid gas\""},
		{"Stream;Description;Temp. (degC);Remarks\n1;Sauergas;40;zur Clausanlage\n", "role=\"acid gas\""},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *said, *draft = drafted(&trial.arena, rows[i].sheet, &said);
		cr_expect(strstr(draft, rows[i].holds), "%zu: %s%s", i, draft, said);
	}
}

/* One pair, as a pair in one list and pump by pump in another, is described once; where the two differ it is a note. */
Test(package, a_pair_that_another_list_has_one_by_one_is_one_item)
{
	static const char one_by_one
		[] = "printf 'Item,Service,Flow rated,Driver hp,Disch. press.\\n,,gpm,,psig\\n"
		     "P-7A,Lean amine charge,375,300,985\\nP-7B,Lean amine charge,380,300,985\\n' >one.csv; ",
      together[] =
		"printf 'Tag,Service,Qty,Design press. (psig)\\nP-7 A/B,Lean amine charge pump,2,1440\\n' >all.csv; ",
      lines[] = "printf 'Line No.,From,To,Size\\nL-1,P-7B,P-7 A/B,NPS 6\\n' >ll.csv; ";
	static const char *const orders[] = {"one.csv all.csv ll.csv", "all.csv ll.csv one.csv"};
	for (size_t i = 0; i < COUNT(orders); i++) {
		struct run run = shell(&trial.arena,
			arena_format(&trial.arena,
				"cd $SCRATCH; %s%s%s\"$LEANRICH\" import --quiet --propose -o m.xml %s 2>/dev/null; "
				"\"$LEANRICH\" import --map m.xml -o d.xml %s; grep -c '<pump' d.xml; "
				"grep -o 'rated-flow=\"[^\"]*\"' d.xml; grep -o 'P-7B: rated-flow 380 gpm' d.xml; grep "
				"-o 'line "
				"tag=\"L-1\" from=\"P-7 A/B\"' d.xml",
				one_by_one, together, lines, orders[i], orders[i]));
		cr_expect_str_eq(run.output,
			"1\nrated-flow=\"375 gpm\"\nP-7B: rated-flow 380 gpm\nline tag=\"L-1\" from=\"P-7 A/B\"\n",
			"%s%s", run.output, run.errors);
		cr_expect(strstr(run.errors, "P-7B is read as one of P-7 A/B"), "%s", run.errors);
	}
}

/* "Turndown" over a column of duties is the case that the balance calls in full; of two such cases it is neither. */
Test(package, a_case_is_one_whatever_sheet_names_it)
{
	const char *const sheets[] = {"CASE 2: TURNDOWN 50 %%", "CASE 2: TURNDOWN 50 %% (lean gas)"};
	for (size_t i = 0; i < COUNT(sheets); i++) {
		struct run run = shell(&trial.arena,
			arena_format(&trial.arena,
				"cd $SCRATCH; printf 'CASE 1: DESIGN,,\\nStream,1,2\\nName,Lean amine,Rich "
				"amine\\nMass flow "
				"(kg/h),900,910\\n,,\\n%s,,\\nStream,1,2\\nName,Lean amine,Rich amine\\nMass flow "
				"(kg/h),400,410\\n,,\\n%sStream,1,2\\nName,Lean amine,Rich amine\\nMass flow "
				"(kg/h),300,310\\n' >h.csv; printf 'Tag,Service,\"Duty, kW\",\\n,,Design,Turndown\\n"
				"E-7,Reboiler,700,300\\n' >d.csv; \"$LEANRICH\" import --quiet --propose -o m.xml "
				"d.csv h.csv "
				"2>/dev/null; \"$LEANRICH\" import --map m.xml -o d.xml d.csv h.csv; grep -o '<in "
				"case=[^/]*' d.xml "
				"| grep duty",
				sheets[i], i ? "CASE 3: TURNDOWN 30 %%,,\\n" : "CASE 3: WINTER,,\\n"));
		cr_expect_str_eq(run.output,
			i ? "<in case=\"turndown\" duty=\"300 kW\"\n"
			  : "<in case=\"case-2-turndown-50\" duty=\"300 kW\"\n",
			"%s%s", run.output, run.errors);
	}
}

/* The column of a maximum over the cases is no case, and its figures are left. */
Test(package, a_maximum_beside_the_cases_is_none)
{
	const char *said,
		*draft = drafted(&trial.arena,
			"Stream,1,,\nDescription,Lean amine,,\nCase,A,B,max. all cases\nTemperature (degC),40,45,45\n"
			"Mass flow (kg/h),5000,6000,7777\n",
			&said);
	cr_expect(strstr(draft, "case=\"b\" temperature=\"45 degC\""), "%s%s", draft, said);
	cr_expect(!strstr(draft, "7777") && strstr(said, "no case"), "%s%s", draft, said);
}

/* Whatever stands in headings and cells, the draft is read back as a description without a fault. */
Test(package, no_sheet_makes_a_draft_that_is_none)
{
	static const char *const sheets[] = {
		"Tag,ID,\"ID, in\",I.D.\nV-1,V-2,48,<\nV-3,,\"&\",\"\"\"\"\n",
		"Tag,Tag No.,Description,Remarks\nV-1,V-2,Flash drum,--> <!-- ]]> & -- -\n<V>,--,Flash drum,&\n",
		"Stream,1,1,--\nCase,\"\",do.,-->\nTemperature (degC),\"<\",40,--\nC3+,-->,&amp;,<x>\n",
		"Line No.,From,To,Size\n\"\"\"\",do.,do.,6\"\nL\xc3\x28,B.L.,<,>\nL-1,L-1,L-1,1/16\n",
		"PSV,Protects,Case,Set (barg)\n\"a\"\"b\",\"a\"\"b\",--,HOLD 5\n",
	};
	const struct vocabulary *language = unit_vocabulary(&trial.arena);
	for (size_t i = 0; i < COUNT(sheets); i++) {
		struct problems faults = {.arena = &trial.arena};
		const char *said, *draft = drafted(&trial.arena, sheets[i], &said);
		element_parse(&trial.arena, "draft.xml", draft, strlen(draft), language, &faults);
		cr_expect(faults.count == 0, "%zu: %s\n%s", i,
			faults.count ? problem_line(&faults, &faults.rows[0]) : "", draft);
	}
}
