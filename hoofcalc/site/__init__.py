"""The course as pages for any browser."""
