"""nbgrader's settings for this course. Use its commands inside this folder."""

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
# Named for this page alone: the formgrader has a page of its own.
c.GenerateFeedback.exporter_class = "hoofcalc.classroom.grading.nbgrader_step.FeedbackPage"

# The notebooks in source/ are derived from the keys and hold no solutions: the outlines of
# the answers stay as they are.
c.ClearSolutions.enabled = False
