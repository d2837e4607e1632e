"""Sheets: workbooks as tables, and tables as workbooks."""
