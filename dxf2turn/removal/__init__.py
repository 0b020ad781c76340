"""The independent check: does the plan leave exactly the part?"""
