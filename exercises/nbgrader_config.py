"""nbgrader's settings for this course. Use its commands inside this folder."""

from hoofcalc.classroom.grading.nbgrader_step import TEMPLATE, TEMPLATES

c = get_config()  # noqa: F821 (given by nbgrader)

c.CourseDirectory.course_id = "hoofcalc"

# Hand-ins are put together from what was handed out, run in a process of their own and
# judged outside it: this one step takes the place of nbgrader's tidying and running.
c.Autograde.sanitize_preprocessors = []
c.Autograde.autograde_preprocessors = [
    "hoofcalc.classroom.grading.nbgrader_step.MarkAnswers",
    "nbgrader.preprocessors.SaveAutoGrades",
    "nbgrader.preprocessors.AssignLatePenalties",
    "nbgrader.preprocessors.CheckCellMetadata",
]

# The learner's feedback page. What a learner wrote is shown as text, never run.
c.GenerateFeedback.preprocessors = ["hoofcalc.classroom.grading.nbgrader_step.GetGradesAndWaiting"]
c.HTMLExporter.template_name = TEMPLATE
c.HTMLExporter.extra_template_basedirs = [str(TEMPLATES)]

# The notebooks in source/ are derived from the keys and hold no solutions: the outlines of
# the answers stay as they are.
c.ClearSolutions.enabled = False
