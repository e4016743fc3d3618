"""nbgrader's settings for this course. Use its commands inside this folder."""

c = get_config()  # noqa: F821 (given by nbgrader)

c.CourseDirectory.course_id = "hoofcalc"

# Hand-ins are put together from what was handed out, run in a process of their own and
# judged outside it: this one step takes the place of nbgrader's tidying and running.
c.Autograde.sanitize_preprocessors = []
c.Autograde.autograde_preprocessors = [
    "hoofcalc.classroom.nbgrader_step.MarkAnswers",
    "nbgrader.preprocessors.SaveAutoGrades",
    "nbgrader.preprocessors.AssignLatePenalties",
    "nbgrader.preprocessors.CheckCellMetadata",
]

# What a learner wrote may hold HTML: it is shown, not run.
c.HTMLExporter.sanitize_html = True

# The notebooks in source/ are derived from the keys and hold no solutions: the outlines of
# the answers stay as they are.
c.ClearSolutions.enabled = False
