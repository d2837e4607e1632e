"""Bibliography of the health standards and rules; ``seen`` says what of a source was read."""

from __future__ import annotations

from foldspan.catalogue.card import Source

# fmt: off
HEALTH_SOURCES: tuple[Source, ...] = (
    Source("altom2025", "Altom KR, Moon JR. Interscholastic female wrestlers' percent body fat and minimum wrestling weight values. Int J Kinanthropometry 2025;5(1):95-105", "", "abstract: cap of 1.5% a week"),
    Source("ardern2004", "Ardern CI, Janssen I, Ross R, Katzmarzyk PT. Development of health-related waist circumference thresholds within BMI categories. Obes Res 2004;12:1094-1103", "", "abstract"),
    Source("awgs2019", "Asian Working Group for Sarcopenia: 2019 consensus update on sarcopenia diagnosis and treatment. J Am Med Dir Assoc 2020", "", "limits as quoted on another page; reference not verified in print"),
    Source("cdc", "US Centers for Disease Control and Prevention. Child and teen BMI categories", "", "table of categories"),
    Source("cms", "US Centers for Medicare & Medicaid Services, assessment item on weight loss (LOINC 54863-6)", "", "name of the item"),
    Source("easo2024", "Busetto L, et al. A new framework for the diagnosis, staging and management of obesity in adults. Nat Med 2024;30:2395-2399", "", "summary on another page"),
    Source("espen2015", "Cederholm T, et al. Diagnostic criteria for malnutrition: an ESPEN consensus statement. Clin Nutr 2015;34:335-340", "", "abstract"),
    Source("espen_easo2022", "Donini LM, et al. Definition and diagnostic criteria for sarcopenic obesity: ESPEN and EASO consensus statement. Obes Facts 2022;15:321-335", "", "screening rule"),
    Source("ewgsop2019", "Cruz-Jentoft AJ, et al. Sarcopenia: revised European consensus on definition and diagnosis. Age Ageing 2019;48:16-31", "", "limits as quoted on another page"),
    Source("friedl1994", "Friedl KE, et al. Lower limit of body fat in healthy active men. J Appl Physiol 1994;77:933-940", "", "abstract"),
    Source("gallagher2000", "Gallagher D, Heymsfield SB, Heo M, Jebb SA, Murgatroyd PR, Sakamoto Y. Healthy percentage body fat ranges: an approach for developing guidelines based on body mass index. Am J Clin Nutr 2000;72:694-701", "10.1093/ajcn/72.3.694", "abstract; the cells are not verified in print and agree with the regression, also not verified in print"),
    Source("glim2019", "Cederholm T, Jensen GL, et al. GLIM criteria for the diagnosis of malnutrition. Clin Nutr 2019;38:1-9", "", "its table 3"),
    Source("gym_band", "American College of Sports Medicine, guidelines for exercise testing and prescription, to which the band is credited", "", "not seen; the band is not verified in print"),
    Source("heo2012", "Heo M, Faith MS, Pietrobelli A, Heymsfield SB. Percentage of body fat cutoffs by sex, age, and race-ethnicity in the US adult population from NHANES 1999-2004. Am J Clin Nutr 2012;95:594-602", "", "abstract"),
    Source("idf2006", "International Diabetes Federation. Consensus worldwide definition of the metabolic syndrome, 2005/2006, table of waists", "", "reprints"),
    Source("jagim2024", "Jagim AR, et al. J Int Soc Sports Nutr 2024;21:2304561, and J Strength Cond Res 2024/2025", "", "abstracts"),
    Source("kelly2009", "Kelly TL, Wilson KE, Heymsfield SB. Dual energy X-ray absorptiometry body composition reference values from NHANES. PLoS ONE 2009;4:e7038", "10.1371/journal.pone.0007038", "abstract; the limits are not verified in print"),
    Source("kyle2003", "Kyle UG, Schutz Y, Dupertuis YM, Pichard C. Body composition interpretation: contributions of the fat-free mass index and the body fat mass index. Nutrition 2003;19:597-604", "", "abstract"),
    Source("lipodystrophy2016", "Brown RJ, et al. The diagnosis and management of lipodystrophy syndromes: a multi-society practice guideline. J Clin Endocrinol Metab 2016;101:4500-4511", "", "its table 3"),
    Source("meed2022", "Royal College of Psychiatrists. Medical emergencies in eating disorders, CR233, 2022", "", "the report is known to exist; its signs are not verified in print"),
    Source("must", "Malnutrition Universal Screening Tool, British Association for Parenteral and Enteral Nutrition", "", "scores on another page"),
    Source("ng136", "NICE NG136. Hypertension in adults: diagnosis and management", "", "180/120; 140/90 is not verified in print"),
    Source("ng69", "NICE NG69. Eating disorders: recognition and treatment, 2017, updated 2020", "", "list of signs"),
    Source("nhanes2017", "National Health and Nutrition Examination Survey 2017-2018, public files, US National Center for Health Statistics", "", "the data; our own analysis, unweighted"),
    Source("nhlbi1998", "NHLBI/NIH. Clinical guidelines on the identification, evaluation, and treatment of overweight and obesity in adults, 1998, Table IV-2", "", "the table"),
    Source("nice_bmi", "NICE CG189, carried into NG246, Overweight and obesity management, 2025", "", "reproducing page; not verified in print that the numbers are unchanged"),
    Source("nice_waist", "NICE CG189, update of 2022 on waist to height, carried into NG246, 2025", "", "reproducing page"),
    Source("ours", "Our own caution; no source was found", "", ""),
    Source("pasco2014", "Pasco JA, et al. Geelong Osteoporosis Study: body fat equal to a body mass index of 30 by age and sex. BMC Obesity 2014;1:9", "", "abstract"),
    Source("potter2025", "Potter AW, Chin GC, Looney DP, Friedl KE. Defining overweight and obesity by percent body fat instead of body mass index. J Clin Endocrinol Metab 2025;110:e1103-e1107", "", "abstract"),
    Source("practice", "Common practice, no source", "", ""),
    Source("reds2023", "Mountjoy M, et al. 2023 International Olympic Committee consensus statement on relative energy deficiency in sport. Br J Sports Med 2023;57:1073-1097", "", "that it leaves out people under 18; signs not verified in print"),
    Source("roberts1998", "Roberts WO. Certifying wrestlers' minimum weight: a new requirement. Phys Sportsmed 1998;26(10)", "", "read"),
    Source("telford1991", "Telford RD, Cunningham RB. Sex, sport, and body-size dependency of hematology in highly trained athletes. Med Sci Sports Exerc 1991;23:788-794, open table of 202 athletes", "", "the table; the paper and which seven skinfolds were summed are not verified in print"),
    Source("weight_loss_workup", "Clinical summaries of unintended weight loss (Am Fam Physician 2021;104:34-40 and others)", "", "summaries"),
    Source("who_asia", "WHO Expert Consultation. Appropriate body-mass index for Asian populations and its implications for policy and intervention strategies. Lancet 2004;363:157-163", "", "abstract"),
    Source("who_bmi", "WHO Technical Report Series 854 (1995) and 894 (2000)", "", "combined table on another page; help page for 16, 17, 18.5, 25, 30"),
    Source("who_growth2007", "WHO growth reference 5-19 years, body mass index for age, 2007", "", "not seen; values not verified in print"),
    Source("who_waist", "WHO. Waist circumference and waist-hip ratio: report of an expert consultation, Geneva 2008 (published 2011)", "", "limits on another page"),
    Source("widen2014", "Widen EM, Gallagher D. Body composition changes in pregnancy. Eur J Clin Nutr 2014;68:643-652", "", "abstract"),
    Source("winter2014", "Winter JE, MacInnis RJ, Wattanapenpaiboon N, Nowson CA. BMI and all-cause mortality in older adults: a meta-analysis. Am J Clin Nutr 2014;99:875-890", "", "abstract"),
)
# fmt: on
HEALTH_SOURCE_BY_KEY = {source.key: source for source in HEALTH_SOURCES}
