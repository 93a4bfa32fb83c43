"""Dates and times as a European workshop reads and writes them: the day first, twenty-four hours; ISO as well."""

DATE_FORMAT = "j F Y"
SHORT_DATE_FORMAT = "j M Y"
TIME_FORMAT = "H:i"
DATETIME_FORMAT = "j M Y, H:i"
SHORT_DATETIME_FORMAT = "j M Y, H:i"
YEAR_MONTH_FORMAT = "F Y"
MONTH_DAY_FORMAT = "j F"
DATE_INPUT_FORMATS = ["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y", "%d-%m-%Y", "%d %m %Y", "%d %b %Y", "%d %B %Y"]
DATETIME_INPUT_FORMATS = [f"{day} {hour}" for day in DATE_INPUT_FORMATS for hour in ("%H:%M", "%H:%M:%S")]
